"""k foreign octets before sent octet ``at``. Nothing of the frame is lost."""

from __future__ import annotations

from framecheck.damage._mechanism import Mechanism, nothing


def apply(sent: bytes, k: int, at: int, foreign: bytes = b"") -> bytes:
    """What arrives; ``foreign``: the k octets (zeros where it is shorter)."""
    return sent[:at] + foreign[:k].ljust(k, b"\0") + sent[at:]


def undo(received: bytes, k: int, at: int) -> bytes:
    """What was sent."""
    return received[:at] + received[at + k :]


INSERT = Mechanism("insert", apply, undo, nothing)
