"""A received frame with its octets, halves or bits turned back, one way after another."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.damage import ORDERS

WAYS = len(ORDERS) + 28
"""How many ways there are."""
_REVERSED = bytes(int(f"{n:08b}"[::-1], 2) for n in range(256))


def turned(octets: bytes) -> Iterator[bytes]:
    """Every whole-frame reordering undone, then every slip of 1 to 7 bits, both bit orders."""
    for order in ORDERS:
        yield order.change(octets)
    mirrored = octets.translate(_REVERSED)
    for bits in range(1, 8):
        yield from _slipped(octets, bits)
        for slipped in _slipped(mirrored, bits):
            yield slipped.translate(_REVERSED)


def _slipped(octets: bytes, bits: int) -> tuple[bytes, bytes]:
    """The bits moved by so many places either way; what leaves at an end is lost."""
    number, size = int.from_bytes(octets, "big"), len(octets)
    later = number >> bits
    earlier = (number << bits) & ((1 << 8 * size) - 1)
    return earlier.to_bytes(size, "big"), later.to_bytes(size, "big")
