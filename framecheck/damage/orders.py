"""Octets, halves or bits that come in another order: each of these undoes itself.

A part word at the end stays as it is, as a transfer by whole words leaves it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

_NIBBLES = bytes((n & 15) << 4 | n >> 4 for n in range(256))
_REVERSED = bytes(int(f"{n:08b}"[::-1], 2) for n in range(256))


class Order(NamedTuple):
    """One way in which octets are exchanged."""

    name: str
    says: str
    change: Callable[[bytes], bytes]
    """Applied twice, it gives back what it was given."""


def swapped(octets: bytes, width: int) -> bytes:
    """The octets of each aligned word of ``width`` octets in reverse order."""
    whole = len(octets) - len(octets) % width
    parts = [octets[i : i + width][::-1] for i in range(0, whole, width)]
    return b"".join(parts) + octets[whole:]


def halves(octets: bytes) -> bytes:
    """The two 16-bit halves of each aligned 32-bit word exchanged."""
    whole = len(octets) - len(octets) % 4
    parts = [octets[i + 2 : i + 4] + octets[i : i + 2] for i in range(0, whole, 4)]
    return b"".join(parts) + octets[whole:]


ORDERS = (
    Order("swap2", "the octets of each 16-bit word exchanged", lambda o: swapped(o, 2)),
    Order("swap4", "the octets of each 32-bit word reversed", lambda o: swapped(o, 4)),
    Order("swap8", "the octets of each 64-bit word reversed", lambda o: swapped(o, 8)),
    Order("halfword", "the halves of each 32-bit word exchanged", halves),
    Order("nibble", "the halves of each octet exchanged", lambda o: o.translate(_NIBBLES)),
    Order("reversal", "the bits of each octet reversed", lambda o: o.translate(_REVERSED)),
)
"""Whole-frame reorderings, the commonest first (common practice, no source)."""
