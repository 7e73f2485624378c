"""Where a frame starts, as evidence in bits: how much better octets fit a header than chance does.

Each figure is the logarithm of a likelihood ratio: what fraction of random octets would pass the
same test. They are rough on purpose; only differences of several bits decide anything.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import NamedTuple

from framecheck.core.frame import Envelope, StartsAt
from framecheck.core.sums import ones_sum

PREAMBLE = b"\x55" * 7 + b"\xd5"
"""Seven octets of preamble and the start frame delimiter (IEEE 802.3 3.2.1-2, from memory)."""

# Types that a bench meets; the chance that random octets hold one of them is 14 / 65536, 12 bits.
_KNOWN_TYPES = frozenset(
    (
        *(0x0800, 0x0806, 0x86DD, 0x8100, 0x88A8, 0x8035, 0x8808, 0x8863, 0x8864),
        *(0x888E, 0x88B5, 0x88B6, 0x88CC, 0x9000),
    )
)
_TAGS = (0x8100, 0x88A8)
_SAPS = (b"\xaa\xaa\x03", b"\x42\x42\x03", b"\xfe\xfe\x03", b"\xf0\xf0\x03", b"\xff\xff")
_NOTHING_KNOWN = -6.0
"""A header in which nothing at all is known speaks against a frame: most frames carry IP or ARP."""
STRONG = 16.0
"""Bits at which a start is beyond doubt: one in 65,536 random strings gets as far."""


class Start(NamedTuple):
    """A place where a frame may start."""

    at: int
    """Octet of the dump."""
    starts_at: StartsAt
    bits: float
    head: tuple[Envelope, ...] = ()


def content(octets: bytes) -> float:
    """Bits of evidence that ``octets`` begin as a frame does; negative speaks against it."""
    return starts(octets)[0].bits


def starts(octets: bytes, known: Collection[bytes] = ()) -> list[Start]:
    """Candidates, best first; never empty.

    ``known``: hardware addresses that other frames of the log carry.
    """
    found = [Start(0, "ethernet", _ethernet(octets, known))]
    preamble = octets.find(b"\xd5", 0, 9)
    if preamble > 0 and octets[:preamble] == b"\x55" * preamble:
        head = octets[: preamble + 1]
        bits = 8.0 * preamble + max(0.0, _ethernet(octets[preamble + 1 :], known))
        found.append(Start(preamble + 1, "ethernet", bits, (Envelope("preamble", "head", head),)))
    found.append(Start(0, "ipv4", _ipv4(octets) - 2))
    found.append(Start(0, "arp", _arp(octets) - 2))
    # sorted() is stable: a tie goes to the Ethernet header.
    return sorted(found, key=lambda s: -s.bits)


def _ethernet(octets: bytes, known: Collection[bytes] = ()) -> float:
    if len(octets) < 14:
        return 0.0
    bits = 0.0
    destination, source = octets[:6], octets[6:12]
    if destination == b"\xff" * 6:
        bits += 16
    elif destination[:3] == b"\x01\x00\x5e" or destination[:2] == b"\x33\x33":
        bits += 12
    bits += 12 * sum(a in known for a in {destination, source})
    bits += -6 if source[0] & 1 else 1
    at = 12
    kind = int.from_bytes(octets[at : at + 2], "big")
    while kind in _TAGS and at + 6 <= len(octets) and at < 28:
        bits += 8
        at += 4
        kind = int.from_bytes(octets[at : at + 2], "big")
    inner = octets[at + 2 :]
    above = 0.0
    if kind <= 1500:
        fits = kind <= len(inner) and (kind == len(inner) or not any(inner[kind:-4]))
        above = (6.0 if fits and kind else 0.0) + (12.0 if inner[:3] in _SAPS else 0.0)
    elif kind in _KNOWN_TYPES:
        above = 12.0
    # A damaged type may still stand before a sound header: look at what follows in any case.
    above += max(_ipv4(inner), _arp(inner), _ipv6(inner), 0.0)
    if above <= 0:
        above = _NOTHING_KNOWN
    return bits + above


def _ipv4(octets: bytes) -> float:
    if len(octets) < 20 or octets[0] >> 4 != 4:
        return _NOTHING_KNOWN
    size = (octets[0] & 15) * 4
    if size < 20 or size > len(octets):
        return _NOTHING_KNOWN
    bits = 8.0 if octets[0] == 0x45 else 4.0
    total = int.from_bytes(octets[2:4], "big")
    bits += 4 if size <= total <= len(octets) else -2
    bits += 3 if octets[9] in (1, 2, 6, 17) else -2
    if ones_sum(octets[:size]) == 0xFFFF:
        bits += 16
    return bits


def _ipv6(octets: bytes) -> float:
    if len(octets) < 40 or octets[0] >> 4 != 6:
        return _NOTHING_KNOWN
    length = int.from_bytes(octets[4:6], "big")
    bits = 4.0 + (10 if length + 40 <= len(octets) else -4)
    return bits + (5 if octets[6] in (0, 6, 17, 43, 44, 58, 60) else -4)


def _arp(octets: bytes) -> float:
    if len(octets) < 28:
        return _NOTHING_KNOWN
    fixed = b"\x00\x01\x08\x00\x06\x04\x00"
    right = sum(a == b for a, b in zip(octets, fixed, strict=False))
    return 6.0 * right - 18 if right >= 4 else _NOTHING_KNOWN
