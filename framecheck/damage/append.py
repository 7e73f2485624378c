"""k foreign octets behind the frame. Nothing of the frame is lost."""

from __future__ import annotations

from framecheck.damage._mechanism import Mechanism, nothing


def apply(sent: bytes, k: int, foreign: bytes = b"") -> bytes:
    """What arrives; ``foreign``: the k octets (zeros where it is shorter)."""
    return sent + foreign[:k].ljust(k, b"\0")


def undo(received: bytes, k: int) -> bytes:
    """What was sent."""
    return received[: max(0, len(received) - k)]


APPEND = Mechanism("append", apply, undo, nothing)
