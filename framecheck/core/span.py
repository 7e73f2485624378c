"""Spans: half-open ranges of a frame, in bits in the core, in octets where people read them.

Octet ranges are plain ``(start, stop)`` tuples; the helpers below keep lists of them sorted,
disjoint and as few as possible, so that two ways to the same octets give the same answer.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

Range = tuple[int, int]
"""A half-open range of octets, ``(start, stop)``."""


class Span(NamedTuple):
    """A half-open range of bits, counted from the frame's first bit, most significant first."""

    start: int
    stop: int

    @property
    def octets(self) -> Range:
        """The smallest range of whole octets that holds this span."""
        return self.start // 8, -(-self.stop // 8)

    @classmethod
    def of_octets(cls, start: int, stop: int) -> Span:
        """The span of the octets ``start`` to ``stop`` (exclusive)."""
        return cls(start * 8, stop * 8)


def runs(indices: Iterable[int]) -> tuple[Range, ...]:
    """Ascending indices as the fewest ranges that hold exactly them."""
    return merged((i, i + 1) for i in indices)


def merged(ranges: Iterable[Range]) -> tuple[Range, ...]:
    """The same octets as the fewest ranges, sorted; touching and overlapping ones are joined."""
    found = [r for r in ranges if r[0] < r[1]]
    if len(found) < 2:
        return tuple(found)
    joined: list[Range] = []
    for start, stop in sorted(found):
        if joined and start <= joined[-1][1]:
            joined[-1] = joined[-1][0], max(stop, joined[-1][1])
        else:
            joined.append((start, stop))
    return tuple(joined)


def without(ranges: Iterable[Range], cleared: Iterable[Range]) -> tuple[Range, ...]:
    """The octets of ``ranges`` that no range of ``cleared`` holds."""
    cuts = merged(cleared)
    left: list[Range] = []
    first = 0
    for start, stop in merged(ranges):
        while first < len(cuts) and cuts[first][1] <= start:
            first += 1
        at = first
        while at < len(cuts) and cuts[at][0] < stop:
            if start < cuts[at][0]:
                left.append((start, cuts[at][0]))
            start = max(start, cuts[at][1])
            at += 1
        if start < stop:
            left.append((start, stop))
    return tuple(left)


def common(ranges: Iterable[Range], others: Iterable[Range]) -> tuple[Range, ...]:
    """The octets that both sets hold."""
    one = merged(ranges)
    return without(one, without(one, others))


def count(ranges: Iterable[Range]) -> int:
    """How many octets the ranges hold together."""
    return sum(stop - start for start, stop in merged(ranges))


def each(ranges: Iterable[Range]) -> Iterator[int]:
    """Every octet of the ranges, ascending."""
    for start, stop in merged(ranges):
        yield from range(start, stop)
