"""The last k octets absent. Their values are gone."""

from __future__ import annotations

from framecheck.core.span import Range
from framecheck.damage._mechanism import Mechanism


def apply(sent: bytes, k: int) -> bytes:
    """What arrives."""
    return sent[: max(0, len(sent) - k)]


def undo(received: bytes, k: int, lost: bytes = b"") -> bytes:
    """What was sent; ``lost``: the k octets, when they are known (zeros where it is shorter)."""
    return received + lost[:k].ljust(k, b"\0")


def lost(length: int, k: int) -> tuple[Range, ...]:
    """The octets that did not arrive."""
    return ((max(0, length - k), length),) if k and length else ()


CUT = Mechanism("cut", apply, undo, lost)
