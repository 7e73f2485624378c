"""Lines that look like rows of octets and that no dump took: a word on them, never a frame.

What no layout reads is said all the same, with its lines, so that a frame is not lost unseen. Rows
count only where the octets begin as a frame does, in one of the plain orders, or where several
lines hold as many groups of two digits each.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

from framecheck.core.frame import Doubt
from framecheck.reading._block import Found
from framecheck.reading._lines import Line
from framecheck.reading._proven import Give, Proven
from framecheck.reading._strange import Strange
from framecheck.reading._track import STRONG, Content, Track

_CELL = re.compile(
    r"(?:0[xX]|\\x|16#|&[hH]|\$)?(?<![0-9A-Zg-wyz_.])(?P<digits>(?![01]{8}(?![0-9A-Za-z]))(?:[0-9A-Fa-f]{2}){1,16})"
    r"(?=[hH]?(?![0-9A-Za-z_.]))|\\x(?P<escaped>[0-9A-Fa-f]{2})"
    r"|(?<![0-9A-Za-z_.])(?:0?[bB])?(?P<bits>[01]{4}_?[01]{4})(?![0-9A-Za-z_.])"
    r"|(?<![0-9A-Za-z])(?:0?[oO]|\\)(?P<octal>[0-3][0-7]{2})(?![0-9A-Za-z_.])"
)
_SHORTEST = 20
"""Characters of a line that holds enough of a row."""
_LONGEST = 4000
_FEWEST = 4
"""Octets of a line that may be a row."""
_ENOUGH = 42
"""Octets of the shortest frame that is not cut."""
_PAIRS = 8
"""Groups of two digits in a line that is much like a row."""
_ROWS = 4
_GAP = 2
"""Lines between rows of one dump, at the most."""
_LATE = 8
"""Lines within which a row comes that was weighed as a dump of its own first."""
_HEAD = 256
_KEPT = 4096
"""Octets of lines that are kept to be read at their end."""
_HEADERS = (0x45, 0x60)
"""First octets of IPv4 and IPv6."""
_MOST_LOST = 24
"""Octets in front of a datagram that may not be read as what they were."""
_MOST_DOUBTS = 1000


class _Row(NamedTuple):
    number: int
    cells: tuple[str, ...]


class _Said(NamedTuple):
    doubt: Doubt
    first: int
    last: int
    octets: int
    """About as many in a layout that was not understood; 0 in a doubt about something else."""


class Missed:
    """The last lines that look like rows and belong to no dump."""

    def __init__(self, content: Content | None, doubts: list[Doubt], give: Give) -> None:
        self._content = content
        self._doubts = doubts
        self._give = give
        self._said: list[_Said] = []
        self._proven = Proven(content, self._found, self._not_understood)
        self._rows: list[_Row] = []
        self._lines: list[Line] = []
        """These lines, and shorter ones among them."""
        self._octets = 0
        self._first = self._last = 0
        self._strange = Strange(self._not_understood)

    def look(self, line: Line) -> None:
        """One more line that no dump has."""
        text, number = line.text, line.number
        self._strange.look(text, number)
        self._proven.look(line)
        cells = _cells(text) if len(text) >= _SHORTEST else ()
        octets = sum(map(len, cells)) // 2
        if number < self._last and octets and self._goes_on(number, octets):
            return
        far = abs(number - self._last)
        if self._rows and (far > _LATE or (far > _GAP and octets >= _FEWEST)):
            self._end()
        if self._rows and self._octets < _KEPT and far <= _GAP:
            self._lines.append(line)
        if octets < _FEWEST:
            return
        if not self._rows:
            self._first = number
            self._lines = [line]
        if self._octets < _KEPT:
            self._rows.append(_Row(number, cells))
        self._octets += octets
        self._last = number

    def _goes_on(self, number: int, octets: int) -> bool:
        """Whether a row that was weighed by itself stands right behind rows that were said."""
        for said in self._said:
            if said.octets and said.last == number - 1:
                self._lengthen(said, number, said.octets + octets)
                return True
        return False

    def _lengthen(self, said: _Said, last: int, octets: int) -> None:
        """What was said of some lines holds to a later one."""
        doubt = _doubt(said.first, last, octets)
        self._doubts[self._doubts.index(said.doubt)] = doubt
        self._said[self._said.index(said)] = _Said(doubt, said.first, last, octets)

    def lost(self, track: Track, doubt: Doubt | None) -> None:
        """Rows that were weighed and found to be none; ``doubt``: what is said of them."""
        for row, text, where in zip(track.rows, track.texts, track.lines, strict=True):
            line = Line(text, row.line, where.start, where.size, True, where.pieces)
            if doubt is None:
                self.look(line)
            else:
                self._proven.look(line)
        if doubt is not None:
            self._say(_Said(doubt, track.rows[0].line, track.rows[-1].line, 0))

    def read(self, track: Track) -> None:
        """A dump that was read: what looks like its rows and is in none may be octets as well."""
        self._strange.read(track)
        self._proven.read(track.rows)

    def close(self) -> None:
        """The log is over."""
        self._end()
        self._strange.end()
        self._proven.close()

    def _found(self, found: Found, front: Sequence[str], behind: str) -> None:
        lines = {row.line.number for row in found.rows}
        for said in [s for s in self._said if not lines.isdisjoint((s.first, s.last))]:
            self._said.remove(said)
            self._doubts.remove(said.doubt)
        self._give(found, front, behind)

    def _end(self) -> None:
        """The rows are over: a doubt when they may be a frame's."""
        rows, octets = self._rows, self._octets
        self._rows, self._octets = [], 0
        if octets < _ENOUGH or not (_alike(rows) or self._begins(rows)):
            return
        if self._proven.surely(self._lines):
            return
        self._not_understood(self._first, self._last, octets)

    def _not_understood(self, first: int, last: int, octets: int) -> None:
        before = self._said[-1] if self._said else None
        if before and before.octets and before.first == first:
            if last > before.last:
                self._lengthen(before, last, octets)
        elif all(d.line != first for d in self._doubts[-1:]):
            self._say(_Said(_doubt(first, last, octets), first, last, octets))

    def _say(self, said: _Said) -> None:
        if len(self._doubts) < _MOST_DOUBTS:
            self._doubts.append(said.doubt)
            self._said.append(said)

    def _begins(self, rows: list[_Row]) -> bool:
        """Whether a frame or its datagram begins here, as printed or with each group turned."""
        if self._content is None:
            return False
        rows = rows[: _HEAD // _FEWEST]
        for skipped in (0, 1, 2):
            groups = [bytes.fromhex(c) for row in rows for c in row.cells[skipped:]]
            for octets in (b"".join(groups), b"".join([g[::-1] for g in groups])):
                # A header of IP may stand behind what the console took the rest of.
                for at in range(0, min(_MOST_LOST, len(octets) - _ENOUGH // 2), 2):
                    if at and octets[at] not in _HEADERS:
                        continue
                    if self._content(octets[at : at + _HEAD]) >= 2 * STRONG:
                        return True
        return False


def _doubt(first: int, last: int, octets: int) -> Doubt:
    where = f"lines {first} to {last} hold" if last > first else "this line holds"
    other = f"octets in a layout that was not understood: {where} about {octets}"
    return Doubt("dump or not", "chatter", other, False, first)


def _cells(text: str) -> tuple[str, ...]:
    return tuple([_hex(m) for m in _CELL.finditer(text[:_LONGEST])])


def _hex(cell: re.Match[str]) -> str:
    if cell["bits"]:
        return f"{int(cell['bits'], 2):02x}"
    return f"{int(cell['octal'], 8):02x}" if cell["octal"] else cell["digits"] or cell["escaped"]


def _alike(rows: list[_Row]) -> bool:
    """Whether most of several lines have equally many groups of two digits, and of no others."""
    if len(rows) < _ROWS:
        return False
    counts = Counter(sum(len(c) == 2 for c in row.cells) for row in rows)
    count, times = counts.most_common(1)[0]
    return count >= _PAIRS and times >= max(_ROWS, len(rows) // 2)
