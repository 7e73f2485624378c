"""Lines of digits that stand where a dump should: behind words of one, or like another's rows.

Nothing in them speaks of a frame. They are said because a frame whose header the console broke
looks just like that.
"""

from __future__ import annotations

import re
from collections import Counter, deque
from collections.abc import Callable
from typing import NamedTuple

from framecheck.reading._facts import facts
from framecheck.reading._shape import Shape
from framecheck.reading._track import Track

Say = Callable[[int, int, int], None]
"""Takes the first line, the last one, and about how many octets they hold."""

_MAYBE = re.compile(r"[0-9A-Fa-f]{8}|(?:(?:[0-9A-Fa-f]{2}){1,2}[ ,]){4}").search
_BEGINS = re.compile(r"(?<![0-9A-Za-z_])0{3,}[:\s]").search
_RUN = re.compile(r"(?<![G-Zg-z_])(?:0[xX])?([0-9A-Fa-f]+)(?![G-Zg-z_])")
_GLUED = re.compile(r"[G-Zg-z][0-9A-Fa-f]{56,}|[0-9A-Fa-f]{56,}[G-Zg-z]").search
"""A string of octets that runs into a word."""
_WORD = re.compile(r"[G-Zg-z]{2}").search
_LONG = 28
"""Digits of a string that is as long as its frame, not as a row is wide."""
_FEWEST = 14
_ENOUGH = 42
_NEAR = 3
_FAR = 8
"""Lines in which those near by stand."""
_KEPT = 16
_TOP = 2
"""The lines at the start of a log, which may be the rest of a frame."""
_GAP = 2
_MOST = 32
_MOST_SEEN = 24
_MOST_ROWS = 64
_LONGEST = 4000
_BROKEN = 24
"""Octets that the console may have lost of as many as a line announces."""


class _Row(NamedTuple):
    number: int
    octets: int
    looks: str
    begins: bool
    """Whether an offset of 0 stands in it."""


class _Lines(NamedTuple):
    first: int
    last: int
    octets: int
    looks: frozenset[str]


class Strange:
    """The last such lines, and what the rows of the log's dumps look like."""

    def __init__(self, say: Say) -> None:
        self._say = say
        self._near: deque[tuple[int, str]] = deque(maxlen=_KEPT)
        self._open: list[_Row] = []
        self._waiting: deque[_Lines] = deque(maxlen=_MOST)
        self._known: deque[str] = deque(maxlen=_MOST)
        self._seen: set[tuple[Shape, int]] = set()
        """Shapes and lengths of rows whose looks are known."""

    def look(self, text: str, number: int) -> None:
        """One more line that no dump has."""
        if self._open and abs(number - self._open[-1].number) > _GAP:
            self.end()
        text = text[:_LONGEST]
        octets, looks = _looks(text) if _MAYBE(text) else (0, "")
        if octets and _GLUED(text):
            self._say(number, number, octets)
        elif not octets or _WORD(text):
            self._near.append((number, text))
        elif len(self._open) < _MOST_ROWS:
            self._open.append(_Row(number, octets, looks, bool(_BEGINS(text))))

    def read(self, track: Track) -> None:
        """What the rows of a dump look like."""
        for text in (track.texts[0], track.texts[-1]):
            row = track.shape, len(text)
            if row in self._seen and not self._waiting:
                continue  # rows of one shape and length look alike
            if len(self._seen) >= _MOST_SEEN:
                self._seen.clear()
            self._seen.add(row)
            _, looks = _looks(text[:_LONGEST])
            if looks not in self._known:
                self._known.append(looks)
            for lines in [x for x in self._waiting if looks in x.looks]:
                self._waiting.remove(lines)
                self._say(*lines[:3])

    def end(self) -> None:
        """The lines are over."""
        rows, self._open = sorted(self._open), []
        octets = sum(row.octets for row in rows)
        if octets < _FEWEST:
            return
        looks = frozenset(row.looks for row in rows)
        lines = _Lines(rows[0].number, rows[-1].number, octets, looks)
        top = rows[0].number <= _TOP
        if top or self._announced(rows, octets) or not lines.looks.isdisjoint(self._known):
            self._say(*lines[:3])
        else:
            self._waiting.append(lines)

    def _announced(self, rows: list[_Row], octets: int) -> bool:
        """Whether the lines in front speak of a frame that may be so long."""
        # Rows that were weighed first come behind the lines that ended them.
        first = rows[0].number
        front = sorted(n for n in self._near if first - _FAR <= n[0] < first)
        said = [facts(text) for _, text in front[-_NEAR:]]
        claimed = [n for about in said for n in about.claimed]
        if claimed:
            return any(abs(n - octets) <= _BROKEN for n in claimed)
        if not said or not said[-1].frame or octets < _ENOUGH or not _even(rows):
            return False
        # Stacks are printed with their addresses.
        return rows[0].begins or ">:" not in rows[0].looks


def _even(rows: list[_Row]) -> bool:
    """Whether lines right behind one another look alike, but for the last and one other."""
    if rows[-1].number - rows[0].number >= len(rows):
        return False
    _, times = Counter(row.looks for row in rows).most_common(1)[0]
    return times >= max(1, len(rows) - 2) and (times > 1 or f"<{_LONG}>" in rows[0].looks)


def _looks(text: str) -> tuple[int, str]:
    """About how many octets a line holds, and how it looks: its digits by their number alone."""
    digits = [len(m) for m in _RUN.findall(text)]
    looks = _RUN.sub(lambda m: f"<{min(len(m[1]), _LONG)}>", text.rstrip())
    return sum(n for n in digits if n > 1) // 2, looks
