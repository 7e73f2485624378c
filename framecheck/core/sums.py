"""Sums: the internet checksum (RFC 1071), the Ethernet FCS (CRC-32), and what a difference tells.

All functions take octets and give plain integers; nothing here knows a protocol but the
pseudo-headers of RFC 768, RFC 9293 3.1 and RFC 8200 8.1.
"""

from __future__ import annotations

from functools import cache
from zlib import crc32

CRC_RESIDUE = 0x2144DF1C
"""CRC-32 of any octets followed by their own FCS (least significant octet first)."""

_REFLECTED = 0xEDB88320


def ones_sum(*parts: bytes) -> int:
    """One's complement sum of big-endian 16-bit words, folded to 16 bits (RFC 1071 section 1).

    Each part is padded with a zero octet to even length. 0 only if every word is zero.
    """
    total = 0
    for part in parts:
        total += int.from_bytes(part + b"\0" if len(part) & 1 else part, "big")
    # 2^16 = 1 modulo 65535, so the big number and its folded words leave the same remainder.
    return (total % 0xFFFF or 0xFFFF) if total else 0


def checksum(*parts: bytes) -> int:
    """The value to put into a zeroed checksum field: the complement of the sum."""
    return 0xFFFF ^ ones_sum(*parts)


def pseudo_header(source: bytes, destination: bytes, protocol: int, length: int) -> bytes:
    """The IPv4 pseudo-header of UDP (RFC 768) and TCP (RFC 9293 3.1): 12 octets."""
    return source + destination + bytes((0, protocol)) + (length & 0xFFFF).to_bytes(2, "big")


def pseudo_header_ipv6(source: bytes, destination: bytes, next_header: int, length: int) -> bytes:
    """The IPv6 pseudo-header of every transport (RFC 8200 8.1): 40 octets."""
    return source + destination + length.to_bytes(4, "big") + bytes((0, 0, 0, next_header))


def difference(verify: int) -> int:
    """How far a sum that should be FFFF is off, one's complement: 0 when it is right.

    ``verify``: the sum over all words, the checksum field included.
    """
    return (verify - 0xFFFF) % 0xFFFF


def healed_word(word: int, off: int) -> int:
    """The value that ``word`` must have had if it alone is wrong (RFC 1624 arithmetic).

    ``off``: the difference. Both 0000 and FFFF heal alike; 0000 is given.
    """
    return (word - off) % 0xFFFF


def one_bit(off: int) -> tuple[int, bool] | None:
    """The bit (0 = least significant of a word) and whether it was *set* by the damage.

    None when no single flipped bit of a 16-bit word leaves this difference.
    """
    for bit in range(16):
        if off == 1 << bit:
            return bit, True
        if off == 0xFFFF - (1 << bit):
            return bit, False
    return None


def fcs(octets: bytes) -> bytes:
    """The four octets that follow a frame on the wire, in memory order (IEEE 802.3 3.2.9)."""
    return crc32(octets).to_bytes(4, "little")


def fcs_holds(octets_with_fcs: bytes) -> bool:
    """Whether the last four octets are the FCS of what stands before them."""
    return len(octets_with_fcs) > 4 and crc32(octets_with_fcs) == CRC_RESIDUE


def flipped_bit(octets_with_fcs: bytes) -> int | None:
    """Which single flipped bit (in wire order: octet * 8 + bit, bit 0 least significant) heals.

    None when the FCS holds or when more than one bit is wrong. CRC-32 tells single bits apart in
    any frame up to 2^32 - 1 bits, so the answer is exact. Time: one step a bit beyond 2,048 octets.
    """
    syndrome = crc32(octets_with_fcs) ^ CRC_RESIDUE
    if not syndrome:
        return None
    bits = len(octets_with_fcs) * 8
    if bits <= 8 * _TABLED:
        behind = _syndromes(8 << max(6, (len(octets_with_fcs) - 1).bit_length())).get(
            syndrome, bits
        )
        return bits - 1 - behind if behind < bits else None
    step = _REFLECTED
    for position in range(bits - 1, -1, -1):
        if step == syndrome:
            return position
        step = (step >> 1) ^ (_REFLECTED if step & 1 else 0)
    return None


_TABLED = 2048
"""Octets of a frame up to which syndromes are kept."""


@cache
def _syndromes(bits: int) -> dict[int, int]:
    """How many bits stand behind a wrong one, by its syndrome.

    The last bit on the wire leaves the polynomial itself; each earlier one, one more step.
    """
    step, found = _REFLECTED, {}
    for i in range(bits):
        found[step] = i
        step = (step >> 1) ^ (_REFLECTED if step & 1 else 0)
    return found


FCS16_RESIDUE = 0xF0B8
"""FCS-16 register over octets and their own FCS, before it is complemented (RFC 1662 C.2)."""


def fcs16(octets: bytes) -> int:
    """The register of the FCS-16 of PPP after these octets (RFC 1662 C.2).

    The FCS to send is its complement, least significant octet first.
    """
    register, table = 0xFFFF, _fcs16_table()
    for octet in octets:
        register = (register >> 8) ^ table[(register ^ octet) & 255]
    return register


@cache
def _fcs16_table() -> tuple[int, ...]:
    """What each octet leaves of the register (RFC 1662 C.1)."""
    table = []
    for value in range(256):
        for _ in range(8):
            value = (value >> 1) ^ (0x8408 if value & 1 else 0)
        table.append(value)
    return tuple(table)
