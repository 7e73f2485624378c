"""Where a frame starts, as evidence in bits: how much better octets fit a header than chance does.

Each figure is the logarithm of a likelihood ratio: what fraction of random octets would pass the
same test. They are rough on purpose; only differences of several bits decide anything.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import NamedTuple

from framecheck.core.frame import Envelope, StartsAt
from framecheck.core.shelf import shelf
from framecheck.core.sums import ones_sum
from framecheck.framing._shape import Shape

PREAMBLE = b"\x55" * 7 + b"\xd5"
"""Seven octets of preamble and the start frame delimiter (IEEE 802.3 3.2.1-2, from memory)."""

# Types that a bench meets; the chance that random octets hold one of them is 14 / 65536, 12 bits.
_KNOWN_TYPES = frozenset(
    (
        *(0x0800, 0x0806, 0x86DD, 0x8100, 0x88A8, 0x8035, 0x8808, 0x8863, 0x8864),
        *(0x888E, 0x88B5, 0x88B6, 0x88CC, 0x9000),
    )
)
_FIRST = frozenset(t >> 8 for t in _KNOWN_TYPES)
"""First octets of types."""
_TAGS = (0x8100, 0x88A8)
_SAPS = (b"\xaa\xaa\x03", b"\x42\x42\x03", b"\xfe\xfe\x03", b"\xf0\xf0\x03", b"\xff\xff")
_PSEUDO_KINDS = (b"\x00\x01", b"\x03\x04")
"""Hardware types of Ethernet and of a loopback in a pseudo link header (from memory)."""
_NOTHING_KNOWN = -6.0
"""A header in which nothing at all is known speaks against a frame: most frames carry IP or ARP."""
_RARE = 8.0
"""Bits that a start without a link header must make up for: few drivers print one."""
STRONG = 16.0
"""Bits at which a start is beyond doubt: one in 65,536 random strings gets as far."""


MOST_HEAD_ROOM = 256
"""Octets in front of a frame that are searched."""
_SEARCHED = 8.0
"""Bits that a search of so many places costs: the best of 256 random ones looks that good."""


class Start(NamedTuple):
    """A place where a frame may start."""

    at: int
    """Octet of the dump."""
    starts_at: StartsAt
    bits: float
    head: tuple[Envelope, ...] = ()


class Known(NamedTuple):
    """What other frames of the log tell."""

    addresses: frozenset[bytes] = frozenset()
    """Hardware addresses that they carry."""
    head: int = 0
    """Octets that most of them have in front."""


def content(octets: bytes) -> float:
    """Bits of evidence that ``octets`` begin as a frame does; negative speaks against it."""
    bits = _ethernet(octets)
    # Beyond doubt: no other start is looked for, and most dumps of most logs get here.
    return bits if bits >= 2 * STRONG else starts(octets)[0].bits


def starts(octets: bytes, known: Known = Known()) -> list[Start]:  # noqa: B008 - a tuple
    """Candidates, best first; never empty. A tie goes to the header at octet 0."""
    found = [Start(0, "ethernet", _ethernet(octets, known.addresses))]
    preamble = octets.find(b"\xd5", 0, 9)
    if preamble > 0 and octets[:preamble] == b"\x55" * preamble:
        head = octets[: preamble + 1]
        bits = 8.0 * preamble + max(0.0, _ethernet(octets[preamble + 1 :], known.addresses))
        found.append(Start(preamble + 1, "ethernet", bits, (Envelope("preamble", "head", head),)))
    found.append(Start(0, "ipv4", _ipv4(octets) - _RARE))
    found.append(Start(0, "ipv6", _ipv6(octets) - _RARE))
    found.append(Start(0, "arp", _arp(octets) - _RARE))
    if max(s.bits for s in found) < STRONG:
        found.extend(_behind_a_pseudo_header(octets))
        found.extend(_behind_a_head(octets, known))
    return sorted(found, key=lambda s: -s.bits)


def _behind_a_head(octets: bytes, known: Known) -> list[Start]:
    """Frames behind what a device left in front: the best few, named by shape."""
    found: list[Start] = []
    longest = len(octets) >> 8
    for at in range(1, min(MOST_HEAD_ROOM, len(octets) - 14) + 1):
        # The cheap look first: hardly any two octets are a type, or a length that fits.
        first = octets[at + 12]
        if (first > longest and first not in _FIRST) or not _typed(octets, at + 12):
            continue
        bits = _ethernet(octets[at:], known.addresses)
        if bits < STRONG:
            continue
        front = octets[:at]
        name, more = _shape(front, len(octets) - at)
        bits += more - (0 if at == known.head else _SEARCHED)
        if bits < STRONG:
            continue  # one of so many places looks like this by chance
        found.append(Start(at, "ethernet", bits, (Envelope(name, "head", front),)))
    return found


def _typed(octets: bytes, at: int) -> bool:
    """Whether a type or a length stands there: foreign octets behind a type are no head."""
    kind = int.from_bytes(octets[at : at + 2], "big")
    return kind in _KNOWN_TYPES or kind <= len(octets) - at - 2


def _shape(front: bytes, rest: int) -> tuple[str, float]:
    best, bits = f"head{len(front)}", 0.0
    for shape in shelf("framecheck.framing.shapes", Shape):
        more = shape.fits(front, rest)
        if more > bits:
            best, bits = shape.name, more
    return best, bits


def _behind_a_pseudo_header(octets: bytes) -> list[Start]:
    """Sixteen octets that some captures put where the link header was (from memory).

    Packet kind 0 to 4, hardware type, address length, address in eight octets, protocol.
    """
    if len(octets) < 36 or octets[0] or octets[1] > 4 or octets[4] or octets[5] > 8:
        return []
    envelope = (Envelope("pseudo16", "head", octets[:16]),)
    kind, inner = octets[14:16], octets[16:]
    bits = {b"\x08\x00": _ipv4(inner), b"\x08\x06": _arp(inner), b"\x86\xdd": _ipv6(inner)}
    names: dict[bytes, StartsAt] = {
        b"\x08\x00": "ipv4",
        b"\x08\x06": "arp",
        b"\x86\xdd": "ipv6",
    }
    if kind not in bits:
        return []
    # A link header with an address like that would be one in thousands, twice.
    fixed = 8.0 * (octets[2:4] in _PSEUDO_KINDS) + 8.0 * (octets[5] == 6 and not any(octets[12:14]))
    return [Start(16, names[kind], bits[kind] + 14 + fixed, envelope)]


def _ethernet(octets: bytes, known: Collection[bytes] = ()) -> float:
    if len(octets) < 14:
        return 0.0
    bits = 0.0
    destination, source = octets[:6], octets[6:12]
    if destination == b"\xff" * 6:
        bits += 16
    elif destination[:3] == b"\x01\x00\x5e" or destination[:2] == b"\x33\x33":
        bits += 12
    if known:
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
        fits = kind == len(inner) or (kind < len(inner) and not any(inner[kind:-4]))
        above = (6.0 if fits and kind else 0.0) + (12.0 if inner[:3] in _SAPS else 0.0)
    elif kind in _KNOWN_TYPES:
        above = 12.0
    # A damaged type may still stand before a sound header: look at what follows in any case.
    first = inner[0] >> 4 if inner else -1
    above += max(0.0, _ipv4(inner) if first == 4 else _ipv6(inner) if first == 6 else _arp(inner))
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
    spare = len(octets) - 40 - int.from_bytes(octets[4:6], "big")
    bits = 4.0 + (-6 if spare < 0 or spare == len(octets) - 40 else 12 if spare < 8 else 3)
    bits += 5 if octets[6] in (0, 6, 17, 43, 44, 58, 60) else -4
    # Link-local, multicast, global and local prefixes; a source also "::" (RFC 4291, from memory).
    usual = (b"\xfe\x80", b"\xff\x02", b"\x20\x01", b"\x2a", b"\xfd")
    bits += 6 if octets.startswith((*usual, b"\0\0\0\0"), 8) else -3
    return bits + (6 if octets.startswith(usual, 24) else -3)


def _arp(octets: bytes) -> float:
    if len(octets) < 28:
        return _NOTHING_KNOWN
    fixed = b"\x00\x01\x08\x00\x06\x04\x00"
    right = sum(map(int.__eq__, octets, fixed))
    return 6.0 * right - 18 if right >= 4 else _NOTHING_KNOWN
