"""What a device left behind a frame: FCS, whole or in part, status words, rounding, old octets."""

from __future__ import annotations

from collections.abc import Sequence
from zlib import crc32

from framecheck.core import sums
from framecheck.core.frame import Envelope
from framecheck.core.layer import Layer
from framecheck.core.shelf import shelf
from framecheck.framing._shape import Shape

SHORTEST = 60
"""Octets of the shortest frame on the wire, without FCS (IEEE 802.3 4.4.2, from memory)."""
_SHORTEST_WITH_FCS = 18
"""A header and an FCS; less cannot be told from data."""
_MOST_BEHIND = 64
"""Octets behind an FCS that are looked at."""


def tail(
    octets: bytes, layers: Sequence[Layer], fcs_on: bool, claimed: int | None, word: int = 1
) -> tuple[Envelope, ...]:
    """The envelopes at the end of ``octets``, in their order.

    A tail is an FCS if its CRC matches, if one flipped bit heals it, or if other frames of the
    log carry one (``fcs_on``). ``claimed``: the length that the log announces for what is left
    of the dump from the frame's first octet on, or None. ``word``: octets that the dump prints
    as one number, where it ends with a whole one: memory is shown in words, whatever it holds.
    """
    if len(octets) < _SHORTEST_WITH_FCS:
        return ()
    if sums.fcs_holds(octets):
        return _fcs(octets, len(octets) - 4)
    behind = octets_behind(layers)
    if behind == 0:
        return ()  # the frame's own lengths claim the last octets
    if behind is not None:
        end = len(octets) - behind
        inner = _inner_fcs(octets, max(end, 14))
        if inner is not None:
            return _fcs(octets, inner)
        spare = len(octets) - max(end, SHORTEST)
        if 2 <= spare <= 3 and octets[-spare:] == sums.fcs(octets[:-spare])[:spare]:
            return (Envelope("fcs", "tail", octets[-spare:]),)
        words = _status_words(octets, spare)
        if words:
            return words
        if claimed is not None and max(end, SHORTEST) <= claimed < len(octets) and not fcs_on:
            return (Envelope("behind-length", "tail", octets[claimed:]),)
        if end >= SHORTEST and 0 < spare < word and claimed != len(octets) and not fcs_on:
            return (Envelope("rounding", "tail", octets[-spare:]),)
        if spare < 4:
            return ()
    if fcs_on or (any(octets[-4:]) and sums.flipped_bit(octets) is not None):
        return _fcs(octets, len(octets) - 4)
    return ()


def octets_behind(layers: Sequence[Layer]) -> int | None:
    """Octets behind the end that the frame's lengths give; None when no length says so."""
    if not layers:
        return None
    last = layers[-1]
    if last.kind == "padding":
        return (last.stop - last.start) // 8
    return 0 if any(x.kind in ("ipv4", "ipv6", "arp", "llc") for x in layers) else None


def _fcs(octets: bytes, at: int) -> tuple[Envelope, ...]:
    found = [Envelope("fcs", "tail", octets[at : at + 4])]
    if at + 4 < len(octets):
        rest = octets[at + 4 :]
        name = "rounding" if len(rest) < 4 and len(octets) % 4 == 0 else "behind-fcs"
        found.append(Envelope(name, "tail", rest))
    return tuple(found)


def _inner_fcs(octets: bytes, end: int) -> int | None:
    """Where an FCS holds with more octets behind it: not before ``end``."""
    register = crc32(octets[:end])
    for at in range(end, min(len(octets) - 4, end + _MOST_BEHIND)):
        if octets[at : at + 4] == register.to_bytes(4, "little"):
            return at
        register = crc32(octets[at : at + 1], register)
    return None


def _status_words(octets: bytes, spare: int) -> tuple[Envelope, ...]:
    """A status and a length word behind the frame, with or without an FCS before them."""
    for size in (4, 8):
        if spare != size:
            continue
        words = octets[-4:]
        at = len(octets) - size
        for shape in shelf("framecheck.framing.shapes", Shape):
            # Only a length that counts exactly this frame tells; small numbers are common.
            if shape.name.startswith(("status2", "length2-s")) and shape.fits(words, at) > 0:
                envelope = Envelope(shape.name, "tail", words)
                return (*_fcs(octets[: at + 4], at), envelope) if size == 8 else (envelope,)
    return ()
