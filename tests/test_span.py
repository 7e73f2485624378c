"""Ranges of octets against sets of numbers."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from framecheck.core.span import Range, common, count, each, merged, runs, without
from tests.effort import effort

RANGES = st.lists(st.tuples(st.integers(0, 40), st.integers(0, 40)), max_size=12)


def held(ranges: list[Range]) -> set[int]:
    return {i for a, b in ranges for i in range(a, b)}


@given(RANGES, RANGES)
def test_ranges_are_sets_of_octets(one: list[Range], other: list[Range]) -> None:
    a, b = held(one), held(other)

    assert merged(one) == runs(sorted(a))
    assert without(one, other) == runs(sorted(a - b))
    assert common(one, other) == runs(sorted(a & b))
    assert count(one) == len(a)
    assert list(each(one)) == sorted(a)


def test_many_ranges_are_not_held_against_one_another() -> None:
    """Every second octet of a long frame: the work grows with their number, not its square."""
    few, many = ([(i, i + 1) for i in range(0, size, 2)] for size in (200, 2000))

    assert effort(lambda: without(many, many)) < 20 * effort(lambda: without(few, few))
