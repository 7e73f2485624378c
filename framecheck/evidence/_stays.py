"""Octets that only seem to have moved: they stand in their places, and are wrong.

What an earlier frame left is like this one, payloads count and repeat themselves: pieces of a frame
can be found elsewhere in it though nothing moved along. A transfer that loses or doubles octets
and still prints as many moves all that stands behind, and most of that is right there.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

_RIGHT = 0.4
"""Share of octets that must be right where they are said to be from."""
_BETWEEN = 0.5
"""The same for a stretch behind which octets are in place again."""
_LOST = 1 / 3
"""Share of a frame from which on what seems lost makes octets that stand elsewhere wrong ones."""
_STARTS = 32
"""Octets at which a writer that began anew is looked for first."""
_FEW = 4
"""Octets that may be written a second time before it counts."""


class Block(NamedTuple):
    """Octets that belong together one by one, right or wrong."""

    received: int
    sent: int
    size: int


Blocks = tuple[Block, ...]


def in_their_places(blocks: Blocks, received: bytes, sent: bytes) -> Blocks:
    """The alignment without what says less than "each in its place".

    Blocks at another shift that come back to none, in a frame of the same length at its end, are
    read in place where they are no longer than twice their shift (octets were exchanged), or where
    most of the stretch is not right either way.
    """
    size = len(sent)
    even = len(received) == size
    if even and _elsewhere(blocks, received, sent):
        return (Block(0, 0, size),)
    kept: list[Block] = []
    away: list[Block] = []
    behind = 0  # where the last octets in place end
    for block in (*blocks, *((Block(size, size, 0),) if even else ())):
        if block.received != block.sent:
            away.append(block)
            continue
        if _moved(away, range(behind, block.received), received, sent):
            kept += away
        away = []
        kept.append(block)
        behind = block.received + block.size
    return _joined([*kept, *away])


def _moved(away: Sequence[Block], stretch: range, received: bytes, sent: bytes) -> bool:
    """Whether blocks between two in place are rather moved than wrong."""
    farthest = max((abs(b.received - b.sent) for b in away), default=0)
    right = sum(_equal(received[i : i + n], sent[j : j + n]) for i, j, n in away)
    size = sum(b.size for b in away)
    if stretch.stop == len(received):
        return size > 2 * farthest and right >= _RIGHT * len(stretch)
    return size > 2 * farthest * len(away) and right >= _BETWEEN * len(stretch)


def _joined(blocks: list[Block]) -> Blocks:
    """Blocks in place one after another as one, with what stands between them."""
    joined: list[Block] = []
    for block in blocks:
        last = joined[-1] if joined else Block(0, 0, 0)
        if block.received == block.sent and last.received == last.sent:
            block = Block(last.received, last.sent, block.received + block.size - last.received)
            del joined[-1:]
        joined.append(block)
    return tuple(b for b in joined if b.size)


def _elsewhere(blocks: Blocks, received: bytes, sent: bytes) -> bool:
    """Whether a frame holds parts of itself in other places, but for which nothing moved."""
    if all(b.received == b.sent for b in blocks):
        return False
    lost = len(sent) - sum(b.size for b in blocks)
    return lost > _LOST * len(sent) or _began_anew(received, sent)


def _began_anew(received: bytes, sent: bytes) -> bool:
    """Whether a writer that ran over the buffer's end began at its front again.

    Then the frame's end stands in front, as much behind is old, and what is between is in place.
    """
    size = len(sent)
    front = received[:_STARTS]
    for start in range(size - _FEW, size // 2, -1):
        over = size - start
        first = min(over, _STARTS)
        if _equal(front[:first], sent[start : start + first]) < _RIGHT * first:
            continue
        again = _equal(received[:over], sent[start:])
        if again < _RIGHT * over or again <= _equal(received[:over], sent[:over]):
            continue
        between = _equal(received[over:start], sent[over:start])
        behind = _equal(received[start:], sent[start:])
        if between >= _RIGHT * (start - over) and behind < _RIGHT * over:
            return True
    return False


def _equal(a: bytes, b: bytes) -> int:
    """How many octets are equal, place by place."""
    return sum(x == y for x, y in zip(a, b, strict=False))
