"""Sent octets [at, at + k) lost. Their values are gone; all others come back."""

from __future__ import annotations

from framecheck.core.span import Range
from framecheck.damage._mechanism import Mechanism


def apply(sent: bytes, k: int, at: int) -> bytes:
    """What arrives."""
    return sent[:at] + sent[at + k :]


def undo(received: bytes, k: int, at: int, lost: bytes = b"") -> bytes:
    """What was sent; ``lost``: the k octets, when they are known (zeros where it is shorter)."""
    return received[:at] + lost[:k].ljust(k, b"\0") + received[at:]


def lost(length: int, k: int, at: int) -> tuple[Range, ...]:
    """The octets that did not arrive."""
    stop = min(at + k, length)
    return ((at, stop),) if at < stop else ()


DELETE = Mechanism("delete", apply, undo, lost)
