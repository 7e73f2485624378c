"""A quick look at octets: which sums a frame has, whether they hold, how much of it is structure.

The full examination takes a millisecond and more; a search for what heals a frame looks at
thousands of candidates. What is found here is examined in full afterwards.
"""

from __future__ import annotations

from typing import NamedTuple

from framecheck.core.span import Range
from framecheck.core.sums import difference

_TAGS = (0x8100, 0x88A8)
_ARP = (0x0806, 0x8035)
_TRANSPORTS = {1: ("icmp", 2), 2: ("igmp", 2), 6: ("tcp", 16), 17: ("udp", 6), 58: ("icmpv6", 2)}
"""Name and offset of the checksum, by protocol number."""
_EXTENSIONS = (0, 43, 60)
SHORTEST = 60


class Sum(NamedTuple):
    """One internet checksum: what it covers, each part from an even place on."""

    name: str
    parts: tuple[Range, ...]
    more: int = 0
    """What is summed beside the octets: length and number of a pseudo-header."""

    def off(self, octets: bytes) -> int:
        """How far the sum is from what it should be, one's complement; 0 when it holds."""
        total = self.more
        for start, stop in self.parts:
            part = octets[start:stop]
            total += int.from_bytes(part + b"\0" if len(part) & 1 else part, "big")
        return difference(total % 0xFFFF or 0xFFFF) if total else 0xFFFF

    def weight(self, octet: int) -> int:
        """256 or 1: what an octet counts; 0 when it is not covered."""
        for start, stop in self.parts:
            if start <= octet < stop:
                return 1 if (octet - start) & 1 else 256
        return 0


class Quick(NamedTuple):
    """What a frame looks like."""

    bits: float
    """Evidence of its structure, sums not counted: constants and lengths that agree."""
    sums: tuple[Sum, ...]
    end: int
    """Octet behind the last that its lengths claim."""
    internet: int
    """Where the network header starts."""
    transport: int
    """Where the transport header starts; ``end`` when there is none."""
    sound: bool
    """Whether all lengths can be."""

    def fits(self, length: int) -> bool:
        """Whether a frame that ends as this one says has that length: padding fills it to 60."""
        return length in (self.end, max(self.end, SHORTEST))


def look(octets: bytes) -> Quick | None:
    """What the octets are, read as an Ethernet frame; None when no header is known.

    Never raises, whatever the octets.
    """
    at, size = 12, len(octets)
    kind = int.from_bytes(octets[at : at + 2], "big")
    while kind in _TAGS and at < 24:
        at += 4
        kind = int.from_bytes(octets[at : at + 2], "big")
    at += 2
    if kind == 0x0800 and size >= at + 20:
        return _ipv4(octets, at)
    if kind == 0x86DD and size >= at + 40:
        return _ipv6(octets, at)
    if kind in _ARP and size >= at + 28:
        return _arp(octets, at)
    return None


def _arp(octets: bytes, at: int) -> Quick | None:
    # The type tells 12 bits here and below: a dozen of 65,536 are known.
    fixed = b"\x00\x01\x08\x00\x06\x04\x00"
    if octets[at : at + 7] != fixed or octets[at + 7] not in (1, 2, 3, 4):
        return None
    same = octets[at + 8 : at + 14] == octets[6:12]
    return Quick(72.0 + 48 * same, (), at + 28, at, at + 28, same)


def _ipv4(octets: bytes, at: int) -> Quick | None:
    own = (octets[at] & 15) * 4
    if octets[at] >> 4 != 4 or own < 20:
        return None
    total = octets[at + 2] << 8 | octets[at + 3]
    end = at + total
    bits = 16.0 + (8 if own == 20 else 4)
    sound = own <= total and end <= len(octets)
    bits += 10 if sound and len(octets) in (end, max(SHORTEST, end)) else 0
    header = Sum("ipv4-header-checksum", ((at, at + own),))
    if not sound:
        return Quick(bits, (header,), end, at, min(at + own, end), False)
    if (octets[at + 6] & 0x3F) or octets[at + 7]:  # a fragment
        return Quick(bits, (header,), end, at, end, True)
    more = _transport(octets, octets[at + 9], (at + 12, at + 20), at + own, end)
    if more is None:
        return Quick(bits, (header,), end, at, at + own, True)
    found, extra, fine = more
    return Quick(bits + extra, (header, *found), end, at, at + own, fine)


def _ipv6(octets: bytes, at: int) -> Quick | None:
    if octets[at] >> 4 != 6:
        return None
    end = at + 40 + (octets[at + 4] << 8 | octets[at + 5])
    bits = 20.0
    if end > len(octets):
        return Quick(bits, (), end, at, end, False)
    bits += 10 if len(octets) in (end, max(SHORTEST, end)) else 0
    number, start = octets[at + 6], at + 40
    while number in _EXTENSIONS and start + 8 <= end:
        if number == 43 and octets[start + 3]:
            return Quick(bits, (), end, at, end, True)
        number, start = octets[start], start + (octets[start + 1] + 1) * 8
    more = _transport(octets, number, (at + 8, at + 40), start, end)
    if more is None:
        return Quick(bits, (), end, at, min(start, end), True)
    found, extra, fine = more
    return Quick(bits + extra, found, end, at, start, fine)


def _tcp(segment: bytes, offset: int) -> float:
    """Evidence of a TCP header (RFC 9293 3.1): reserved bits, urgent pointer, options in a row."""
    bits = 3.0 + (3 if not segment[12] & 15 else -6)
    flags = segment[13]
    if not flags & 0x20:
        bits += 10 if segment[18:20] == b"\0\0" else -4
    # Some answer, but one that both opens and ends is none; a first one has nothing to confirm.
    bits += 2 if flags & 0x16 and flags & 7 in (0, 1, 2, 4) else -6
    at = 20
    while at < offset and segment[at]:
        size = 1 if segment[at] == 1 else segment[at + 1] if at + 1 < offset else 0
        if not size or (segment[at] != 1 and size < 2) or at + size > offset:
            return bits - 10
        bits += 6 if segment[at] == 8 and size == 10 else 0
        at += size
    return bits


_COOKIE = bytes((99, 130, 83, 99))
_DHCP_PORTS = (b"\0C\0D", b"\0D\0C", b"\0C\0C")


def _dhcp(octets: bytes, at: int, size: int) -> float:
    """Evidence of a message of DHCP between its ports (RFC 2131 2): op, Ethernet, the cookie.

    Fields that hold zeros lie between its head and its cookie, and no sum sees zeros come or go.
    """
    if size < 248 or octets[at : at + 4] not in _DHCP_PORTS:
        return 0.0
    head = octets[at + 8] in (1, 2) and octets[at + 9 : at + 11] == b"\1\6"
    cookie = octets[at + 244 : at + 248] == _COOKIE
    return (12.0 if head else -8.0) + (16.0 if cookie else -8.0)


def _transport(
    octets: bytes, number: int, addresses: Range, at: int, end: int
) -> tuple[tuple[Sum, ...], float, bool] | None:
    """Sums of a transport, evidence of its structure, and whether its lengths can be."""
    known = _TRANSPORTS.get(number)
    if known is None:
        return None
    name, field = known
    size = end - at
    if size < field + 2:
        return (), 0.0, False
    bits = 5.0
    if number == 17:
        length = octets[at + 4] << 8 | octets[at + 5]
        if length < 8 or length > size:
            return (), 0.0, False
        bits += 12 if length == size else 0
        size = length
        bits += _dhcp(octets, at, size)
        if not (octets[at + 6] or octets[at + 7]):
            return (), bits, True
    elif number == 6:
        offset = (octets[at + 12] >> 4) * 4
        if not 20 <= offset <= size:
            return (), 0.0, False
        bits += _tcp(octets[at : at + size], offset)
    own = (at, at + size)
    if number in (6, 17, 58):
        pseudo = number + size
        return (Sum(f"{name}-checksum", (addresses, own), pseudo),), bits, True
    return (Sum(f"{name}-checksum", (own,)),), bits, True
