"""Octets that a fill left, or that count: they tell nothing private, and a law needs them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from framecheck.core.span import runs
from framecheck.damage import Fill

_FEWEST = 6
"""Octets of a fill in a row that are no chance."""
_COUNTING = 7
"""Steps in a row by which octets count: what tools send to fill a datagram."""
_MOST_LOST = 8
"""Octets in a row that may have been lost from among those that count."""


def left_there(octets: bytes, fills: Sequence[Fill], head: int) -> Iterator[int]:
    """Octets that stand where a fill has them, so many in a row that chance does not."""
    for one in fills:
        same = one.octets(head, head + len(octets))
        for start, stop in runs(i for i, (a, b) in enumerate(zip(octets, same)) if a == b):  # noqa: B905
            if stop - start >= _FEWEST:
                yield from range(start, stop)
    yield from _counting(octets)


def _counting(octets: bytes) -> Iterator[int]:
    """Octets that count by one; those in front and behind too where a few of them were lost."""
    steps = [b - a for a, b in pairwise(octets)]
    for first, last in runs(i for i, step in enumerate(steps) if step == 1):
        if last - first < _COUNTING:
            continue
        if first and 1 < steps[first - 1] <= _MOST_LOST + 1:
            first -= 1
            while first and steps[first - 1] == 1:
                first -= 1
        if last < len(steps) and 1 < steps[last] <= _MOST_LOST + 1:
            last += 1
            while last < len(steps) and steps[last] == 1:
                last += 1
        yield from range(first, last + 1)
