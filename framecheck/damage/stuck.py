"""One data line stuck: ``bit`` of each octet i with i mod ``width`` = ``lane`` is ``value``.

Bit 0 is the least significant. What the bit was is gone wherever the line would have differed;
``undo`` gives it the other value there where it is told to.
"""

from __future__ import annotations

from collections.abc import Collection

from framecheck.core.span import Range
from framecheck.damage._mechanism import Mechanism

_SET = [bytes(n | 1 << bit for n in range(256)) for bit in range(8)]
_CLEARED = [bytes(n & ~(1 << bit) for n in range(256)) for bit in range(8)]


def apply(sent: bytes, width: int, lane: int, bit: int, value: int) -> bytes:
    """What arrives."""
    received = bytearray(sent)
    table = (_SET if value else _CLEARED)[bit]
    received[lane::width] = received[lane::width].translate(table)
    return bytes(received)


def undo(
    received: bytes,
    width: int,
    lane: int,
    bit: int,
    value: int,
    turned: Collection[int] = (),
) -> bytes:
    """What was sent; ``turned``: the octets in which the bit had the other value."""
    sent = bytearray(received)
    for i in turned:
        if i % width == lane and i < len(sent):
            sent[i] ^= 1 << bit
    return bytes(sent)


def lost(length: int, width: int, lane: int, bit: int, value: int) -> tuple[Range, ...]:
    """The octets of the lane: one bit of each is gone."""
    if width == 1:
        return ((0, length),) if length else ()
    return tuple((i, i + 1) for i in range(lane, length, width))


STUCK = Mechanism("stuck", apply, undo, lost)
