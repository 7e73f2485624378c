"""The first k octets of the FCS left on behind the frame, usually all four."""

from __future__ import annotations

from framecheck.core import sums
from framecheck.damage._mechanism import Mechanism, nothing


def apply(sent: bytes, k: int = 4) -> bytes:
    """What arrives."""
    return sent + sums.fcs(sent)[:k]


def undo(received: bytes, k: int = 4) -> bytes:
    """What was sent."""
    return received[: max(0, len(received) - k)]


FCS = Mechanism("fcs", apply, undo, nothing)
