"""Probes that never came: gaps in the numbers of those that did, and how long they were.

Probes count up from 0, modulo 64, and say so themselves; no capture of the other side is needed.
The length of one that is missing is known where the lengths are those of a usual set, return by
turns or grow by one step, or where the same number came another time.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from framecheck.damage.probes import NUMBERS, SETS

MOST = 4096
"""Probes that are remembered."""
_OVERTAKEN = 8
"""Numbers by which a probe may come too late."""
_BEFORE = 8
"""Probes that may be missing in front of the first one of a log."""
_FEWEST = 3
"""Probes that must agree with a usual set before it is believed."""


class Gap(NamedTuple):
    """A probe that was sent and never seen."""

    number: int
    """0 to 63, as its octets carry it."""
    length: int | None
    """Octets of the frame; None where nothing tells."""


class Series:
    """Sees the numbers of the probes of one log in their order."""

    def __init__(self) -> None:
        self._rounds: list[dict[int, int]] = []
        """Of each time that the probes were sent: place in turn -> length."""
        self._unclear: set[tuple[int, int]] = set()
        """Rounds and places at which something came that may have been the probe."""
        self._others = False
        self._place = 0
        self._kept = 0

    def see(self, number: int, length: int) -> None:
        """A probe came: its number (modulo 64) and the octets with which it was sent."""
        if self._kept >= MOST:
            return
        self._kept += 1
        step = (number - self._place) % NUMBERS
        if not self._rounds:
            self._begin(number, length)
        elif step < NUMBERS // 2:
            if self._others:
                between = range(self._place + 1, self._place + step)
                self._unclear.update((len(self._rounds), place) for place in between)
            self._place += step
            self._rounds[-1][self._place] = length
        else:
            back = self._place - (NUMBERS - step)
            late = NUMBERS - step <= _OVERTAKEN and back >= 0 and back not in self._rounds[-1]
            if late:
                self._rounds[-1][back] = length
            else:
                self._begin(number, length)
        self._others = False

    def other(self) -> None:
        """A frame came that may be a probe, damaged beyond what can be told."""
        self._others = True

    def _begin(self, number: int, length: int) -> None:
        self._rounds.append({number: length})
        if self._others:
            self._unclear.update((len(self._rounds), place) for place in range(number))
        self._place = number

    def gaps(self) -> tuple[Gap, ...]:
        """The probes that are missing between those that came, and a few in front of them."""
        found: list[Gap] = []
        known = self._lengths()
        for turn, seen in enumerate(self._rounds, 1):
            first = min(seen)
            start = 0 if first <= min(_BEFORE, len(seen)) else first
            places = (p for p in range(start, max(seen)) if p not in seen)
            missing = [p for p in places if (turn, p) not in self._unclear]
            found += [Gap(p % NUMBERS, known(p)) for p in missing]
        return tuple(found)

    def behind(self) -> tuple[Gap, ...]:
        """The probes of a usual set that come behind the last one that came.

        Whether they were sent nobody knows: the log may end before them. Nothing where another
        usual set is through with what came.
        """
        came = self._agreed()
        if came is None or len(came) < _FEWEST:
            return ()
        last = max(self._rounds[-1])
        found = []
        for turns in SETS:
            if all(turns[p % len(turns)] == n for p, n in came.items()):
                places = range(last + 1, last + 1 + -(last + 1) % len(turns))
                found.append(tuple(Gap(p % NUMBERS, turns[p % len(turns)]) for p in places))
        return min(found, key=len, default=())

    def _agreed(self) -> dict[int, int] | None:
        """The length at each place; None where rounds have other ones."""
        came: dict[int, int] = {}
        for seen in self._rounds:
            for place, length in seen.items():
                if came.setdefault(place, length) != length:
                    return None
        return came

    def _lengths(self) -> _Known:
        came = self._agreed()
        if came is None:
            return _Known({}, ())
        for turns in SETS:
            if len(came) >= _FEWEST and all(turns[p % len(turns)] == n for p, n in came.items()):
                return _Known(came, turns)
        return _Known(came, _turns(came), _steady(came))


class _Known(NamedTuple):
    came: dict[int, int]
    turns: Sequence[int | None]
    steady: tuple[int, int] | None = None

    def __call__(self, place: int) -> int | None:
        """The length of the probe at this place in turn."""
        if self.steady:
            return self.steady[0] + self.steady[1] * place
        by_turn = self.turns[place % len(self.turns)] if self.turns else None
        return self.came.get(place, by_turn)


def _steady(came: dict[int, int]) -> tuple[int, int] | None:
    """The first length and the step, where each probe is longer than the one before by as much."""
    if len(came) <= _FEWEST:
        return None
    (p, a), (q, b) = min(came.items()), max(came.items())
    step, rest = divmod(b - a, q - p)
    first = a - step * p
    steady = not rest and all(first + step * place == n for place, n in came.items())
    return (first, step) if steady else None


def _turns(came: dict[int, int]) -> Sequence[int | None]:
    """The shortest row of lengths that returns, seen twice at least in full or in part."""
    for size in range(1, max(came, default=0) // 2 + 1):
        turns: list[int | None] = [None] * size
        again = 0
        for place, length in came.items():
            there = turns[place % size]
            if there not in (None, length):
                break
            again += there is not None
            turns[place % size] = length
        else:
            return turns if again >= _FEWEST else ()
    return ()
