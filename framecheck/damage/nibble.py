"""The halves of each octet exchanged; it undoes itself."""

from __future__ import annotations

from framecheck.damage._mechanism import Mechanism, nothing

_TABLE = bytes((n & 15) << 4 | n >> 4 for n in range(256))


def apply(sent: bytes) -> bytes:
    """What arrives; of what arrived, what was sent."""
    return sent.translate(_TABLE)


NIBBLE = Mechanism("nibble", apply, apply, nothing)
