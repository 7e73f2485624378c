"""One word a line behind its running number: ``rxd(3) = 0x00450008``."""

from __future__ import annotations

import re
from typing import NamedTuple

from framecheck.core.frame import Doubt
from framecheck.reading._block import MOST_LINES, Cells, Content, Form, Found
from framecheck.reading._lines import Line
from framecheck.reading._shape import turned, turned_columns
from framecheck.reading._track import STRONG

_FRONT = r"[A-Za-z_][\[( #]?(?P<index>\d{1,4})[\])]?[ \t]*(?:[:=]|->)[ \t]*"
_WORD = r"(?:0[xX])?(?P<word>(?:[0-9A-Fa-f]{4}){1,4})(?![0-9A-Za-z_])"
_ROW = re.compile(rf"(?P<lead>.{{0,80}}?){_FRONT}{_WORD}(?P<tail>[^0-9A-Za-z]*)")
_STEPS = (1, 2, 4, 8)
_FEWEST = 4
_MOST_FOREIGN = 3
_CLOSE = 4.0
"""Bits within which both octet orders are said."""


class _Row(NamedTuple):
    lead: str
    number: int
    digits: str
    start: int


def _row(text: str) -> _Row | None:
    m = _ROW.fullmatch(text)
    if m is None:
        return None
    return _Row(re.sub(r"[\d\s]+", "", m["lead"]), int(m["index"]), m["word"], m.start("word"))


class _Words:
    """Lines with one word each, so far."""

    def __init__(self, line: Line, row: _Row, content: Content) -> None:
        self.held = [line]
        self.rows = [(line, row)]
        self.content = content
        self.steps = [s for s in _STEPS if row.number % s == 0]
        self.foreign = 0

    @property
    def lines(self) -> list[Line]:
        """All lines that are held."""
        return self.held

    def take(self, line: Line) -> bool:
        """Whether the line goes on with the block."""
        row = _row(line.text)
        if len(self.held) >= MOST_LINES:
            return False
        if row is not None and self._next(row):
            self.rows.append((line, row))
            self.foreign = 0
        elif len(self.rows) >= _FEWEST and self.foreign < _MOST_FOREIGN:
            self.foreign += 1
        else:
            return False
        self.held.append(line)
        return True

    def _next(self, row: _Row) -> bool:
        last = self.rows[-1][1]
        steps = [s for s in self.steps if row.number == last.number + s]
        if not steps or row.lead != last.lead or len(row.digits) != len(last.digits):
            return False
        self.steps = steps
        return True

    def found(self) -> list[Found]:
        """The dump, if its octets begin as a frame does, in the better of the two orders."""
        size = len(self.rows[0][1].digits) // 2
        if len(self.rows) < _FEWEST or size * len(self.rows) < 14:
            return []
        octets = bytes.fromhex("".join([row.digits for _, row in self.rows]))
        said = self.content(octets), self.content(turned(octets, size))
        if max(said) < STRONG:
            return []
        little = said[1] > said[0]
        doubts: tuple[Doubt, ...] = ()
        if min(said) > max(0.0, max(said) - _CLOSE):
            orders = ("first octet first", "last octet first")
            taken, other = orders[little], orders[not little]
            doubts = (Doubt("octet order of words", taken, other, True, self.rows[0][0].number),)
        rows = tuple([_cells(line, row, little) for line, row in self.rows])
        order = "last octet first" if little else "first octet first"
        lead = self.rows[0][0].text[: self.rows[0][1].start]
        return [Found(rows, f"one word of {size} octets a line, {order}", 10.0, doubts, lead)]


def _cells(line: Line, row: _Row, little: bool) -> Cells:
    octets, columns = (
        bytes.fromhex(row.digits),
        [*range(row.start + 1, row.start + len(row.digits), 2)],
    )
    if little:
        octets, columns = octets[::-1], turned_columns(columns, len(octets))
    return Cells(line, octets, tuple(columns), tuple([c + 2 for c in columns]))


def begin(line: Line, content: Content | None) -> _Words | None:
    """A block whose first line has a number and a word."""
    row = _row(line.text)
    return _Words(line, row, content) if row is not None and content is not None else None


WORD_A_LINE = Form(
    "one word a line",
    _FRONT.replace("?P<index>", "?:") + _WORD.replace("?P<word>", "?:") + r"[^0-9A-Za-z]*$",
    begin,
    "w[0] = 0x02005e10\nw[1] = 0x00010200\nw[2] = 0x5e100002\nw[3] = 0x08060001\n",
)
