"""The bits of each octet in reverse order; it undoes itself."""

from __future__ import annotations

from framecheck.damage._bits import reversed_bits
from framecheck.damage._mechanism import Mechanism, nothing


def apply(sent: bytes) -> bytes:
    """What arrives; of what arrived, what was sent."""
    return reversed_bits(sent)


REVERSAL = Mechanism("reversal", apply, apply, nothing)
