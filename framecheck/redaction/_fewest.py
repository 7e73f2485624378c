"""The fewest octets that have to stay as they are: all others are given free, part by part."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import combinations

from framecheck.core.span import runs


def fewest(
    spans: Iterable[range], holds: Callable[[frozenset[int]], bool], most: int
) -> frozenset[int] | None:
    """Octets of some spans that have to stay so that something holds; None where it never does.

    Args:
        spans: octets that may stay; whole spans are given free first, then halves of them.
        holds: whether it holds when just these octets stay.
        most: how often that may be asked; what was not asked stays.

    Each answer is one that ``holds`` gave, and no single octet of it can be given free, nor two
    runs of them together (what is told in two places changes in both), as far as was asked.
    """
    asked = iter(range(most))
    parts = [span for span in spans if span]
    stay = frozenset(i for span in parts for i in span)
    if next(asked, None) is None or not holds(stay):
        return None
    while parts:
        span = parts.pop(0)
        less = stay.difference(span)
        if len(less) == len(stay):
            continue
        if next(asked, None) is None:
            break
        if holds(less):
            stay = less
        else:
            parts[:0] = _halves(span)
    return _paired(stay, holds, asked)


def _paired(
    stay: frozenset[int], holds: Callable[[frozenset[int]], bool], asked: Iterator[int]
) -> frozenset[int]:
    """Give two runs of octets free at once, as long as that holds."""
    for pair in combinations(list(runs(sorted(stay))), 2):
        less = stay.difference(*(range(*run) for run in pair))
        if next(asked, None) is None:
            break
        if holds(less):
            return _paired(less, holds, asked)
    return stay


def _halves(span: range) -> Iterator[range]:
    middle = len(span) // 2
    if middle:
        yield span[:middle]
        yield span[middle:]
