"""Rows of string literals: escapes and characters in quotes, a list's brackets around them."""

from __future__ import annotations

import re
from typing import NamedTuple

from framecheck.core.frame import Doubt
from framecheck.reading._block import MOST_LINES, Cells, Content, Form, Found, begins_anew
from framecheck.reading._lines import Line
from framecheck.reading._reading import Reading
from framecheck.reading._uneven import ESCAPED, ESCAPES, literals, says_decimal
from framecheck.reading.traits.offset import left_of, number

_TAIL = re.compile(
    r"([ \t]*[,;+\\.)\]}&|:]*[ \t]*[,;\\]?[ \t]*)(?:/\*.*\*/[ \t]*\\?|(?://|--|#).*)?"
)
_LAST = re.compile(r"[;)\]}]")
_JOINS = re.compile(r"\.{1,2}|\+|&|<<|\|\|")
"""What some languages put in front of a string that goes on with the one above it."""
_HEAD = 64
"""Octets by which the beginning of a frame is known."""


class _Row(NamedTuple):
    words: str
    offset: str | None
    reading: Reading
    last: bool


def _row(text: str, *, decimal: bool = False) -> _Row | None:
    found = literals(text, 1, decimal=decimal)
    if len(found) != 1:
        return None
    (reading,) = found
    tail = _TAIL.fullmatch(text, reading.tail)
    if tail is None:
        return None
    lead = text[: reading.start].rstrip("\\x").rstrip("bBr'\"")
    where = left_of(lead)
    words = re.sub(r"[\d\s]+", "", (lead[: where[0]] + lead[where[1] :]) if where else lead)
    offset = lead[slice(*where)] if where else None
    return _Row(words.rstrip("([{=<"), offset, reading, bool(_LAST.search(tail[1])))


class _Literals:
    """Rows of literals, so far."""

    def __init__(self, line: Line, row: _Row, content: Content | None) -> None:
        self.held = [line]
        self.rows = [row]
        self.content = content
        self.total = len(row.reading.octets)
        self.bases = [b for b in (16, 10) if number(row.offset or "", b) is not None]
        self.counted = 0

    @property
    def lines(self) -> list[Line]:
        """All lines that are held."""
        return self.held

    def take(self, line: Line) -> bool:
        """Whether the line goes on with the block."""
        if len(self.held) >= MOST_LINES or self.rows[-1].last:
            return False
        row = _row(line.text)
        if row is None:
            return False
        if row.words not in (self.rows[0].words, "") and not _JOINS.fullmatch(row.words):
            return False
        if not self._counts(row):
            return False
        head = b"".join([r.reading.octets for r in self.rows[:_HEAD]])
        if not self.counted and begins_anew(self.content, head, row.reading.octets):
            return False
        self.held.append(line)
        self.rows.append(row)
        self.total += len(row.reading.octets)
        return True

    def _counts(self, row: _Row) -> bool:
        """Whether an offset is right; numbers in front that count nothing are no offsets."""
        if not self.bases:
            return True
        first = self.rows[0].offset or ""
        bases = [
            b
            for b in self.bases
            if number(row.offset or "", b) == (number(first, b) or 0) + self.total
        ]
        if bases:
            self.counted += 1
        elif self.counted:
            return False
        self.bases = bases
        return True

    def found(self) -> list[Found]:
        """The dump, if there are several rows."""
        if len(self.rows) < 2 or self.total < 14:
            return []
        decimal = any(says_decimal(line.text) for line in self.held)
        again = [_row(line.text, decimal=True) for line in self.held] if decimal else []
        read = [row for row in again if row] if all(again) else []
        rows = [
            Cells(line, row.reading.octets, row.reading.columns, row.reading.ends)
            for line, row in zip(self.held, read or self.rows, strict=True)
        ]
        proof = 4.0 + min(10.0, 2.0 * self.counted)
        lead = self.held[0].text[: self.rows[0].reading.start]
        doubts = (self._two_bases(),) if decimal and not read else ()
        return [Found(tuple(rows), "string literals", proof, doubts, lead, settled=bool(doubts))]

    def _two_bases(self) -> Doubt:
        number = self.held[0].number
        return Doubt("base of the numbers", "octal where it can be", "decimal", True, number)


def begin(line: Line, content: Content | None) -> _Literals | None:
    """A block whose first line holds a literal with several escapes."""
    row = _row(line.text)
    if row is None or not literals(line.text, 1, ESCAPES):
        return None
    return _Literals(line, row, content)


LITERALS = Form(
    "string literals",
    rf"['\"](?:[^'\"\\]|\\[^xu0-9])*{ESCAPED}",
    begin,
    "(b'\\x02\\x00^\\x10\\x00\\x01\\x02\\x00'\n b'^\\x10\\x00\\x02\\x08\\x06')\n",
)
