"""What IGMP 3 and MLD 2 share: sources in a query, records of groups, times as small floats.

RFC 3376 4 and RFC 3810 5 (both from memory) draw the same figures for IPv4 and IPv6.
"""

from __future__ import annotations

from framecheck.core.layer import Column, Got, Words, octets, uint
from framecheck.core.series import repeat
from framecheck.layers._words import decimal, seconds

_RECORDS = {
    1: "mode is include",
    2: "mode is exclude",
    3: "change to include mode",
    4: "change to exclude mode",
    5: "allow new sources",
    6: "block old sources",
}


def floating(bits: int, code: int) -> int:
    """A code of 8 or 16 bits as a number: from the top bit on, three of exponent, then mantissa."""
    mantissa_bits = bits - 4
    if code < 1 << bits - 1:
        return code
    exponent = code >> mantissa_bits & 7
    return (code & (1 << mantissa_bits) - 1 | 1 << mantissa_bits) << exponent + 3


def tenths(code: int) -> str:
    """A time in tenths of a second, as a code of 8 bits."""
    return decimal(floating(8, code) / 10)


def _interval(code: int) -> str:
    return seconds(floating(8, code))


def _sources(size: int, words: Words) -> tuple[Column, Column]:
    one = (octets("source_address", size, words, bytes(size)),)
    return uint("number_of_sources", 16), repeat("source_addresses", "number_of_sources", one)


def query(size: int, words: Words) -> tuple[Column, ...]:
    """What a query of the newer version has behind the group; ``size``: octets of an address."""
    return (
        uint("resv", 4),
        uint("s", 1, {1: "suppress router-side processing"}),
        uint("qrv", 3),
        uint("qqic", 8, _interval),
        *_sources(size, words),
    )


def _auxiliary(got: Got) -> int:
    f = got.get("aux_data_len")
    return f.number * 4 if f is not None and f.whole else 0


def records(count: str, size: int, words: Words) -> tuple[Column, ...]:
    """The records of a report behind their number, a field named ``count``."""
    record = (
        uint("record_type", 8, _RECORDS),
        uint("aux_data_len", 8),
        uint("number_of_sources", 16),
        octets("multicast_address", size, words, bytes(size)),
        _sources(size, words)[1],
        octets("auxiliary_data", _auxiliary),
    )
    return uint("reserved", 16), uint(count, 16), repeat("group_records", count, record)
