"""A dump without its envelopes: what a device left in front of the frame and behind it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from framecheck.core import sums
from framecheck.core.frame import Doubt, Dump, Frame, StartsAt
from framecheck.core.layer import Layer
from framecheck.damage import ORDERS, Order
from framecheck.framing.hdlc import parts
from framecheck.framing.start import STRONG, Known, Start, starts
from framecheck.framing.tail import tail
from framecheck.layers import decode_frame

BEYOND_DOUBT = 36.0
"""Bits of a header whose checksum holds, or of an ARP packet that is right in every constant."""
_TIE = 6.0
"""Bits by which a start must lead before the next one is no longer worth a word."""


@dataclass(slots=True)
class Traits:
    """What the first frames of a log tell about the others."""

    fcs_on: bool = False
    """Whether frames of this log carry their FCS."""
    known: Known = Known()  # noqa: RUF009 - an immutable tuple


def learn(dumps: Iterable[Dump]) -> Traits:
    """Look at a handful of dumps before the first is judged.

    One frame that carries its FCS says how to read the tail of another whose FCS is wrong.
    """
    addresses: set[bytes] = set()
    heads: Counter[int] = Counter()
    fcs_on = False
    for dump in dumps:
        start = starts(dump.octets)[0]
        if start.starts_at != "ethernet" or start.bits < BEYOND_DOUBT:
            continue
        octets = dump.octets[start.at :]
        addresses.update(a for a in (octets[:6], octets[6:12]) if a != b"\xff" * 6)
        heads[start.at] += 1
        fcs_on = fcs_on or sums.fcs_holds(octets)
    head = max(heads, key=lambda at: (heads[at], -at), default=0)
    return Traits(fcs_on, Known(frozenset(addresses), head))


def unwrap(dump: Dump, traits: Traits) -> list[tuple[Frame, tuple[Layer, ...]]]:
    """The frames inside a dump, and their layers; one, but for frames between flags."""
    candidates = starts(dump.octets, traits.known)
    if candidates[0].bits < STRONG and not dump.at_start:
        between = parts(dump)
        if between:
            return [(f, decode_frame(f.octets, f.starts_at)) for f in between]
    return [_unwrapped(dump, traits, candidates)]


def _unwrapped(
    dump: Dump, traits: Traits, candidates: Sequence[Start]
) -> tuple[Frame, tuple[Layer, ...]]:
    start = candidates[0]
    if start.bits < BEYOND_DOUBT and order_of(dump.octets, start.bits) is not None:
        start, candidates = Start(0, "ethernet", start.bits), ()
    doubts = list(dump.doubts)
    if dump.at_start:
        return _as_it_stands(dump, "inside", doubts)
    if candidates and start.bits <= 0 and len(dump.octets) >= 14:
        return _as_it_stands(dump, "unknown", doubts)
    for other in candidates[1:]:
        if other.bits > 0 and start.bits - other.bits < _TIE:
            doubts.append(_tie(start, other))
            break
    octets = dump.octets[start.at :]
    layers = decode_frame(octets, start.starts_at)
    envelopes = start.head
    if start.starts_at == "ethernet":
        claimed = dump.claimed_length
        word = dump.word if len(dump.octets) % dump.word == 0 else 1
        behind = tail(octets, layers, traits.fcs_on, claimed, word)
        if behind:
            octets = octets[: len(octets) - sum(len(e.octets) for e in behind)]
            layers = decode_frame(octets, start.starts_at)
            envelopes = (*envelopes, *behind)
    return Frame(dump, octets, start.starts_at, envelopes, tuple(doubts)), layers


def order_of(octets: bytes, bits: float) -> Order | None:
    """The order whose octets, halves or bits were exchanged where a frame starts at octet 0.

    ``bits``: the evidence that a frame starts as they stand; None where no order leads by enough.
    """
    read = [(starts(order.change(octets))[0], order) for order in ORDERS]
    best, order = max(read, key=lambda r: r[0].bits)
    clear = best.at == 0 and best.starts_at == "ethernet" and best.bits > max(bits + _TIE, STRONG)
    return order if clear else None


def _as_it_stands(
    dump: Dump, where: StartsAt, doubts: list[Doubt]
) -> tuple[Frame, tuple[Layer, ...]]:
    return Frame(dump, dump.octets, where, (), tuple(doubts)), decode_frame(dump.octets, where)


def _tie(start: Start, other: Start) -> Doubt:
    def said(s: Start) -> str:
        return f"{s.starts_at} at octet {s.at}"

    return Doubt("where the frame starts", said(start), said(other), decides=True)
