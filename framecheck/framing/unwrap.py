"""A dump without its envelopes: preamble in front, FCS behind."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from framecheck.core import sums
from framecheck.core.frame import Doubt, Dump, Envelope, Frame
from framecheck.core.layer import Layer
from framecheck.framing.start import STRONG, Start, starts
from framecheck.layers import decode_frame

_SHORTEST_WITH_FCS = 18
"""A header and an FCS; less cannot be told from data."""


@dataclass(slots=True)
class Traits:
    """What the first frames of a log tell about the others."""

    fcs_on: bool = False
    """Whether frames of this log carry their FCS."""
    addresses: set[bytes] = field(default_factory=set)
    """Hardware addresses of frames whose start is beyond doubt."""


def learn(dumps: Iterable[Dump]) -> Traits:
    """Look at a handful of dumps before the first is judged.

    One frame that carries its FCS says how to read the tail of another whose FCS is wrong.
    """
    traits = Traits()
    for dump in dumps:
        start = starts(dump.octets)[0]
        if start.starts_at != "ethernet" or start.bits < STRONG:
            continue
        octets = dump.octets[start.at :]
        traits.addresses.update(a for a in (octets[:6], octets[6:12]) if a != b"\xff" * 6)
        traits.fcs_on = traits.fcs_on or _holds(octets)
    return traits


def unwrap(dump: Dump, traits: Traits) -> tuple[Frame, tuple[Layer, ...]]:
    """The frame inside a dump, and its layers.

    A tail is an FCS if its CRC matches, if one flipped bit heals it, or if other frames of the
    log carry one and four octets stand behind the end that the frame's own lengths give.
    """
    candidates = starts(dump.octets, traits.addresses)
    start = candidates[0]
    doubts = list(dump.doubts)
    if dump.at_start:
        return _as_it_stands(dump, "inside", doubts)
    if start.bits <= 0 and len(dump.octets) >= 14:
        return _as_it_stands(dump, "unknown", doubts)
    for other in candidates[1:]:
        if other.bits > 0 and start.bits - other.bits < 6:
            doubts.append(_tie(start, other))
    octets = dump.octets[start.at :]
    layers = decode_frame(octets, start.starts_at)
    envelopes = start.head
    if start.starts_at == "ethernet" and _carries_fcs(octets, layers, traits):
        envelopes = (*envelopes, Envelope("fcs", "tail", octets[-4:]))
        octets = octets[:-4]
        layers = decode_frame(octets, start.starts_at)
    return Frame(dump, octets, start.starts_at, envelopes, tuple(doubts)), layers


def _as_it_stands(dump: Dump, where: str, doubts: list[Doubt]) -> tuple[Frame, tuple[Layer, ...]]:
    starts_at = "inside" if where == "inside" else "unknown"
    frame = Frame(dump, dump.octets, starts_at, (), tuple(doubts))  # type: ignore[arg-type]
    return frame, decode_frame(dump.octets, starts_at)


def _tie(start: Start, other: Start) -> Doubt:
    def said(s: Start) -> str:
        return f"{s.starts_at} at octet {s.at}"

    return Doubt("where the frame starts", said(start), said(other), decides=True)


def _holds(octets: bytes) -> bool:
    return len(octets) >= _SHORTEST_WITH_FCS and sums.fcs_holds(octets)


def _carries_fcs(octets: bytes, layers: tuple[Layer, ...], traits: Traits) -> bool:
    if len(octets) < _SHORTEST_WITH_FCS:
        return False
    if sums.fcs_holds(octets):
        return True
    spare = _octets_behind(layers)
    if spare is not None and spare < 4:
        return False  # the frame's own lengths claim the last octets
    if traits.fcs_on:
        return True
    # Zeros are padding; a tail that one bit heals is an FCS (by chance 1 in 350,000 at most).
    return any(octets[-4:]) and sums.flipped_bit(octets) is not None


def _octets_behind(layers: tuple[Layer, ...]) -> int | None:
    """Octets behind the end that the frame's lengths give; None when no length says so."""
    last = layers[-1] if layers else None
    if last is None:
        return None
    if last.kind == "padding":
        return (last.stop - last.start) // 8
    bounded = any(x.kind in ("ipv4", "arp", "llc") for x in layers)
    return 0 if bounded else None
