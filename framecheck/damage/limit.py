"""Nothing arrives beyond m octets: they are absent, or the buffer keeps what it held there.

What lies beyond m is gone.
"""

from __future__ import annotations

from framecheck.core.span import Range
from framecheck.damage._mechanism import Mechanism


def apply(sent: bytes, m: int, mode: str = "absent", before: bytes = b"") -> bytes:
    """What arrives; ``before``: what the buffer held, from the frame's first octet on."""
    if mode == "absent" or len(sent) <= m:
        return sent[:m]
    return sent[:m] + before[m : len(sent)].ljust(len(sent) - m, b"\0")


def undo(received: bytes, m: int, mode: str = "absent", lost: bytes = b"") -> bytes:
    """What was sent; ``lost``: what lay beyond m, when it is known.

    Unwritten octets become zeros where it is shorter; of absent ones nobody knows how many.
    """
    if mode == "absent":
        return received[:m] + lost
    size = max(0, len(received) - m)
    return received[:m] + lost[:size].ljust(size, b"\0")


def lost(length: int, m: int, mode: str = "absent") -> tuple[Range, ...]:
    """The octets beyond m."""
    return ((m, length),) if length > m else ()


LIMIT = Mechanism("limit", apply, undo, lost)
