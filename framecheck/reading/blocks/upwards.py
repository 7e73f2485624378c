"""Rows that run upwards: a viewer shows the newest line on top, or memory from its end."""

from __future__ import annotations

from framecheck.core.frame import Doubt
from framecheck.reading._block import MOST_LINES, Cells, Content, Form, Found
from framecheck.reading._lines import Line
from framecheck.reading._parse import MAYBE, readings
from framecheck.reading._reading import Reading
from framecheck.reading.traits.offset import number

_FEWEST = 4
"""Octets of a row."""


def _row(text: str) -> Reading | None:
    """The reading of a line that has an offset."""
    found = readings(text) if MAYBE.search(text) else []
    return next((r for r in found if r.offset and r.upto is None), None)


class _Upwards:
    """Rows so far, the last one of the dump first."""

    def __init__(self, line: Line, row: Reading, bases: list[int]) -> None:
        self.held = [line]
        self.rows = [row]
        self.bases = bases

    @property
    def lines(self) -> list[Line]:
        """All lines that are held."""
        return self.held

    def take(self, line: Line) -> bool:
        """Whether the line is the row in front of the last one."""
        row = _row(line.text) if self.bases and len(self.held) < MOST_LINES else None
        if row is None or row.group != self.rows[-1].group or row.start != self.rows[-1].start:
            return False
        after = self.rows[-1]
        bases = [
            base
            for base in self.bases
            if _offset(row, base) + len(row.octets) == _offset(after, base)
        ]
        full = len(self.rows) == 1 or len(row.octets) == len(after.octets)
        if not bases or not full:
            return False
        self.held.append(line)
        self.rows.append(row)
        self.bases = [base for base in bases if _offset(row, base)]
        return True

    def found(self) -> list[Found]:
        """The dump, from the row of offset 0 down."""
        if len(self.rows) < 2 or self.bases:
            return []
        rows = [
            Cells(line, row.octets, row.columns, row.ends)
            for line, row in zip(reversed(self.held), reversed(self.rows), strict=True)
        ]
        proof = min(14.0, 5.0 + 2.0 * len(rows))
        doubt = Doubt(
            "order of rows",
            "by their offsets, the last line first",
            "rows that the console printed in another order than the board",
            False,
            self.held[0].number,
        )
        lead, words = self.rows[-1].lead, "offset, last row first"
        return [Found(tuple(rows), words, proof, (doubt,), lead, settled=True)]


def _offset(row: Reading, base: int) -> int:
    """What the offset says in this base; below zero where it says nothing."""
    assert row.offset is not None
    value = number(row.line[slice(*row.offset)], base)
    return -1 if value is None else value


def begin(line: Line, content: Content | None) -> _Upwards | None:
    """A block whose first line is a row with an offset that is not zero."""
    row = _row(line.text)
    if row is None or len(row.octets) < 1:
        return None
    bases = [base for base in (16, 10) if _offset(row, base) >= _FEWEST]
    return _Upwards(line, row, bases) if bases else None


UPWARDS = Form(
    "rows upwards",
    r"(?<![0-9A-Za-z_.])(?:0[xX])?(?!0+(?![0-9A-Fa-f]))[0-9A-Fa-f]{2,5}[\])]?"
    r"[ \t]{0,4}[:|>=]?[ \t]{1,8}[0-9A-Fa-f]{2}(?:[0-9A-Fa-f]{2}){0,7}(?:[ :\-]|$)",
    begin,
    "0008: 5e 10 00 02 08 06\n0000: 02 00 5e 10 00 01 02 00\n",
)
