"""Probes that never came are told from the numbers of those that did."""

import random
from collections.abc import Sequence

import pytest

from framecheck.damage.probes import NUMBERS, SETS, SWEEP
from framecheck.evidence.series import Series

RANGE = tuple(range(60, 110))
OWN = (70, 900, 333, 61, 1200, 404, 1000)


def gaps(
    lengths: Sequence[int], lost: set[int], order: Sequence[int] = ()
) -> list[tuple[int, int | None]]:
    series = Series()
    for place in order or range(len(lengths)):
        if place not in lost:
            series.see(place % NUMBERS, lengths[place])
    return list(series.gaps())


@pytest.mark.parametrize("lengths", [*SETS, RANGE, (63, 78, 95) * 40], ids=len)
def test_a_usual_set_gives_the_lengths_of_what_is_missing(lengths: tuple[int, ...]) -> None:
    random_ = random.Random(len(lengths))
    assert gaps(lengths, set()) == []
    for _ in range(20):
        inner = range(1, len(lengths) - 1)
        lost = set(random_.sample(inner, max(0, min(len(inner) // 3, len(lengths) - 4))))
        assert gaps(lengths, lost) == [(p % NUMBERS, lengths[p]) for p in sorted(lost)]


def test_of_lengths_of_ones_own_only_the_numbers_are_known() -> None:
    assert gaps(OWN, {2, 5}) == [(2, None), (5, None)]


def test_sent_again_each_tells_the_length_of_the_other() -> None:
    series = Series()
    for lost in (2, 5):
        for place in (p for p in range(7) if p != lost):
            series.see(place, OWN[place])
    assert series.gaps() == ((2, 333), (5, 404))


def test_one_overtaken_or_printed_twice_is_not_missing() -> None:
    assert gaps(SWEEP, set(), [0, 1, 3, 2, 4, 4, 5, 7, 8, 6, 9]) == []


def test_what_came_beyond_recognition_is_not_missing() -> None:
    series = Series()
    for number in (0, 1, 4, 6):
        if number == 4:
            series.other()  # one of 2 and 3
        series.see(number, SWEEP[number])
    assert series.gaps() == ((5, SWEEP[5]),)


def test_what_is_behind_the_last_is_not_known_to_be_sent() -> None:
    assert gaps(SWEEP, set(range(10, 24))) == []


def test_a_log_that_begins_late_lost_only_a_few() -> None:
    assert gaps(SWEEP, set(range(12))) == []
    assert gaps(SWEEP, {0, 1, 2}) == [(0, 1023), (1, 1514), (2, 1117)]


def test_what_a_usual_set_has_behind_the_last_is_named_but_no_gap() -> None:
    series = Series()
    for number, length in enumerate(SWEEP[:20]):
        series.see(number, length)
    assert series.gaps() == ()
    assert series.behind() == tuple(zip(range(20, 24), SWEEP[20:], strict=True))
    for number, length in enumerate(SWEEP[20:], 20):
        series.see(number, length)
    assert series.behind() == ()


def test_a_set_that_is_through_has_nothing_behind_though_a_longer_one_begins_so() -> None:
    series = Series()
    for number, length in enumerate((63, 78, 95)):
        series.see(number, length)
    assert series.behind() == ()
