"""How long a frame says it is: enough of its header to know whether its dump is whole."""

from __future__ import annotations

import zlib
from functools import lru_cache

_LINK = 14
_HEAD = 32
"""Octets of a header that may say it."""
TAGS = (b"\x81\x00", b"\x88\xa8")
_FCS = 4
_LLC = 3
"""Octets of the header behind a length."""
_MOST = 1500
_UNNUMBERED = 3
"""Its control octet for unnumbered information; the service access points are mostly alike."""


def has_fcs(octets: bytes) -> bool:
    """Whether the last octets are the FCS of all before them (IEEE 802.3 3.2.9, from memory)."""
    return zlib.crc32(octets[:-_FCS]) == int.from_bytes(octets[-_FCS:], "little")


def wanted(octets: bytes) -> int | None:
    """Octets up to the end that the frame's own lengths give; None when no header says it.

    IPv4's total length (RFC 791 3.1), IPv6's payload length (RFC 8200 3), the size of an ARP
    message (RFC 826) and a length where others have their type (RFC 1042 "Header Format"), behind
    a link header with at most two tags.
    """
    return _wanted(octets[:_HEAD])


@lru_cache(maxsize=64)  # asked of a dump more than once
def _wanted(octets: bytes) -> int | None:
    at = _LINK
    while octets[at - 2 : at] in TAGS and at <= _LINK + 4:
        at += 4
    kind, rest = octets[at - 2 : at], octets[at : at + 8]
    if len(rest) >= 4 and kind == b"\x08\x00" and rest[0] >> 4 == 4:
        total = int.from_bytes(rest[2:4], "big")
        return at + total if total >= 20 else None
    if len(rest) < 6:
        return None
    if kind == b"\x86\xdd" and rest[0] >> 4 == 6:
        return at + 40 + int.from_bytes(rest[4:6], "big")
    if kind == b"\x08\x06" and rest[:2] == b"\x00\x01":
        return at + 8 + 2 * (rest[4] + rest[5])
    length = int.from_bytes(kind, "big")
    if _LLC <= length <= _MOST and rest[0] == rest[1] and rest[2] == _UNNUMBERED:
        return at + length
    return None


def bare(octets: bytes) -> int | None:
    """The length of a datagram without a link header (RFC 791 3.1, RFC 8200 3)."""
    if octets[:1] and octets[0] >> 4 == 4:
        return int.from_bytes(octets[2:4], "big")
    if octets[:1] and octets[0] >> 4 == 6:
        return 40 + int.from_bytes(octets[4:6], "big")
    return None
