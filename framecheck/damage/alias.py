"""An address line ignored: offsets that differ in bit 2^line alone are one place.

``mode``: on ``read``, what is printed at i comes from i with the bit cleared; on ``write``, what
was sent at i goes there, the later over the earlier, and the other place keeps what the buffer
held; on ``both``, printed and written alike. What was sent to the place that loses is gone.
"""

from __future__ import annotations

from framecheck.core.span import Range, runs
from framecheck.damage._mechanism import Mechanism


def apply(sent: bytes, line: int, mode: str, before: bytes = b"") -> bytes:
    """What arrives; ``before``: what the buffer held (zeros where it is shorter)."""
    bit = 1 << line
    size = len(sent)
    buffer = bytearray(sent)
    if mode != "read":
        buffer[:] = before[:size].ljust(size, b"\0")
        for i, octet in enumerate(sent):
            buffer[i & ~bit] = octet
    if mode == "write":
        return bytes(buffer)
    return bytes(buffer[i & ~bit] for i in range(size))


def undo(received: bytes, line: int, mode: str) -> bytes:
    """What was sent; zeros where it is lost."""
    bit = 1 << line
    size = len(received)
    sent = bytearray(size)
    for i in range(size):
        kept = i & bit if mode != "read" else not i & bit
        if kept or (mode != "read" and i | bit >= size):
            sent[i] = received[i & ~bit]
    return bytes(sent)


def lost(length: int, line: int, mode: str) -> tuple[Range, ...]:
    """On reading the places with the bit, on writing those without it that a later one took."""
    bit = 1 << line
    if mode == "read":
        return runs(i for i in range(length) if i & bit)
    return runs(i for i in range(length) if not i & bit and i | bit < length)


ALIAS = Mechanism("alias", apply, undo, lost)
