"""Losses and doublings that come at equal distances: an overrun, a strobe that is seen twice."""

from __future__ import annotations

from collections.abc import Iterator

_WIDTHS = (1, 2, 4, 8)
_FEWEST = 3
"""Losses or doublings before they can be regular."""
_FARTHEST = 128
"""Octets between two at most: what stands between others is long enough to be found by itself."""
_TRIED = 64
"""Distances and starts that are tried at most for one width."""

Blocks = list[tuple[int, int, int]]


def regular(received: bytes, sent: bytes) -> Iterator[Blocks]:
    """Alignments by rule that fit the two lengths: (received offset, sent offset, count).

    Only the starts that explain the first octets are given: a rule that fails there is none.
    """
    change = len(received) - len(sent)
    for width in _WIDTHS:
        count = abs(change) // width
        if not change or change % width or count < _FEWEST or len(sent) // count > _FARTHEST:
            continue
        tried = 0
        for every in range(len(sent) // (count + 1), len(sent) // count + 2):
            for start in range(every):
                if tried < _TRIED and every > width:
                    blocks = _blocks(len(received), len(sent), width, every, start, change > 0)
                    if _right(received, sent, blocks):
                        tried += 1
                        yield blocks


def _blocks(size: int, length: int, width: int, every: int, start: int, twice: bool) -> Blocks:
    """The first change is at sent octet ``start``, then one after every ``every`` sent octets.

    Doubled octets stand in front of themselves; lost ones are left out.
    """
    blocks: Blocks = []
    i = j = 0
    at = start
    while j < length and i < size:
        stop = min(at, length)
        if stop > j:
            count = min(stop - j, size - i)
            blocks.append((i, j, count))
            i, j = i + count, stop
        if at < length:
            i, j = (i + width, j) if twice else (i, j + width)
        at += every
    return [b for b in blocks if b[2] > 0]


def _right(received: bytes, sent: bytes, blocks: Blocks) -> bool:
    """Whether at least half of the first octets are right."""
    seen = right = 0
    for i, j, count in blocks[:12]:
        for k in range(min(count, 16)):
            seen += 1
            right += received[i + k] == sent[j + k]
    return 2 * right > seen > 0
