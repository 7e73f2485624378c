"""The bits of octets in reverse order."""

from __future__ import annotations

_REVERSED = bytes(int(f"{n:08b}"[::-1], 2) for n in range(256))


def reversed_bits(octets: bytes) -> bytes:
    """Each octet with its bits in reverse order; it undoes itself."""
    return octets.translate(_REVERSED)
