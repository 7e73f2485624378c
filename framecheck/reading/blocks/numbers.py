"""Rows of decimal, octal or binary octets, or of hex without leading zeros, also with offsets."""

from __future__ import annotations

import re
from typing import NamedTuple

from framecheck.reading._block import MOST_LINES, Cells, Content, Form, Found
from framecheck.reading._lines import Line
from framecheck.reading._odd import lost_digits
from framecheck.reading._reading import Stretch

_NUMBER = re.compile(
    r"(?<![0-9A-Za-z_.\-])(?:0[xXbo](?=[0-9A-Fa-f]))?(?P<digits>[0-9A-Fa-f]{1,8})(?![0-9A-Za-z_.])"
)
_GAP = re.compile(r"[ \t]*([,;/|:]?)[ \t]*(?:0[xXbo])?")
_OFFSET_GAP = re.compile(r"[\])]?[ \t]*[:|>=]{1,2}[ \t]*|[ \t]{2,}|\t|[\])][ \t]*")
_FEWEST = 4
_BASES = {10: "decimal", 8: "octal", 2: "binary", 16: "hex without leading zeros"}
_MARKS = {10: "", 8: "0o", 2: "0b", 16: "0x"}
_LENGTHS = {10: (1, 2, 3), 8: (3,), 2: (8,), 16: (1, 2)}


class _Row(NamedTuple):
    lead: str
    offset: str | None
    cells: tuple[Stretch, ...]
    mark: str
    """What separates the numbers, blanks aside."""


def _row(text: str, fewest: int) -> _Row | None:
    """The longest list of numbers of a line, and the number in front of it."""
    spans = [m.span("digits") for m in _NUMBER.finditer(text)]
    best: tuple[int, int, str] = (0, 0, "")
    first = 0
    while first < len(spans):
        last, mark = first + 1, None
        while last < len(spans):
            m = _GAP.fullmatch(text[spans[last - 1][1] : spans[last][0]])
            if m is None or (mark is not None and m[1] != mark):
                break
            mark = m[1]
            last += 1
        if last - first > best[1] - best[0] or (last - first == 2 and best[2] in (":", "|")):
            best = first, last, mark or ""
        # ``0: 1 2``: the number in front of a list stands in no list.
        first = last if last - first != 2 else last - 1
    low, high, mark = best
    if high - low < fewest:
        return None
    offset = None
    lead = text[: spans[low][0]]
    widths = [b - a for a, b in spans[low:high]]
    if high - low > 1 and widths[0] > 3 and {widths[0]} != set(widths[1:]) in ({3}, {8}):
        # A number of another width in front of its like is no octet.
        a, b = spans[low]
        offset = text[a:b]
        low += 1
    elif low:
        a, b = spans[low - 1]
        if _OFFSET_GAP.fullmatch(text[b : spans[low][0]]):
            offset, lead = text[a:b], text[:a]
    return _Row(lead, offset, tuple(spans[low:high]), mark)


def _values(text: str, cells: tuple[Stretch, ...], base: int) -> list[int] | None:
    out = []
    for a, b in cells:
        digits = text[a:b]
        if text[max(0, a - 2) : a].lower() not in _MARKS[base] and text[a - 1 : a].isalpha():
            return None
        if len(digits) not in _LENGTHS[base]:
            return None
        try:
            value = int(digits, base)
        except ValueError:
            return None
        if value > 255:
            return None
        out.append(value)
    return out


class _Numbers:
    """Rows of numbers, so far."""

    def __init__(self, line: Line, row: _Row, bases: list[int]) -> None:
        self.held = [line]
        self.rows = [row]
        self.bases = bases
        self.short = False
        self.offset = row.offset
        self.offset_bases = [b for b in (16, 10, 8) if _number(row.offset, b) is not None]
        self.widths = {b - a for a, b in row.cells}

    @property
    def lines(self) -> list[Line]:
        """All lines that are held."""
        return self.held

    def take(self, line: Line) -> bool:
        """Whether the line goes on with the block."""
        if self.short or len(self.held) >= MOST_LINES or not line.text:
            return False
        first = self.rows[0]
        row = _row(line.text, 1)
        if row is None or len(row.cells) > len(first.cells):
            return False
        if len(row.cells) > 1 and row.mark != first.mark:
            return False
        if row.offset is None and self.offset is not None and len(row.cells) == 2:
            # ``50: 7``: of two numbers the first one is the offset.
            (a, b), second = row.cells
            row = _Row(line.text[:a], line.text[a:b], (second,), first.mark)
        if (row.offset is None) != (first.offset is None):
            return False
        if _words(row.lead) not in (_words(first.lead), ""):
            return False
        bases = [b for b in self.bases if _values(line.text, row.cells, b) is not None]
        if not bases:
            return False
        if self.offset is not None:
            counts = [b for b in self.offset_bases if self._counts(row, b)]
            if not counts:
                return False
            self.offset_bases = counts
        elif len(row.cells) < len(first.cells) and not _ends(line.text, row):
            return False
        self.bases = bases
        self.rows.append(row)
        self.held.append(line)
        self.widths |= {b - a for a, b in row.cells}
        self.short = len(row.cells) < len(first.cells)
        return True

    def _counts(self, row: _Row, base: int) -> bool:
        first = _number(self.offset, base)
        here = _number(row.offset, base)
        return first is not None and here == first + len(self.rows) * len(self.rows[0].cells)

    def found(self) -> list[Found]:
        """The dump, if there are enough rows and their numbers are no pairs of hex digits."""
        if len(self.rows) < 2 or self.widths == {2}:
            return []
        base = next(b for b in (2, 8, 10, 16) if b in self.bases)
        if base == 8 and 10 in self.bases:
            # Three digits each, none above 377: a decimal list would have an 8 or a 9.
            base = 8
        rows = []
        for line, row in zip(self.held, self.rows, strict=True):
            values = _values(line.text, row.cells, base)
            assert values is not None
            columns = tuple([a + 1 for a, _ in row.cells])
            ends = tuple([b + 1 for _, b in row.cells])
            rows.append(Cells(line, bytes(values), columns, ends))
        if sum(len(row.octets) for row in rows) < 14:
            return []
        proof = -8.0 if base in (10, 16) else -4.0
        if self.offset is not None:
            proof += min(14.0, 5.0 + 2.0 * (len(rows) - 1))
        return [Found(tuple(rows), _BASES[base], proof, (), self.rows[0].lead)]


def _number(digits: str | None, base: int) -> int | None:
    try:
        return int(digits, base) if digits else None
    except ValueError:
        return None


def _words(lead: str) -> str:
    return re.sub(r"[0-9\s]+", "", lead)


def _ends(text: str, row: _Row) -> bool:
    """Whether nothing but marks stands behind the last number: a row may be the last one."""
    return not any(c.isalnum() for c in text[row.cells[-1][1] :])


def begin(line: Line, content: Content | None) -> _Numbers | None:
    """A block whose first line is a list of numbers that are not all of two digits."""
    row = _row(line.text, _FEWEST)
    if row is None or {b - a for a, b in row.cells} == {2}:
        return None
    if lost_digits(line.text, row.cells):
        return None  # pairs of hex digits, one of which lost a digit
    bases = [b for b in _BASES if _values(line.text, row.cells, b) is not None]
    return _Numbers(line, row, bases) if bases else None


NUMBERS = Form(
    "rows of numbers",
    r"(?:(?<![0-9A-Za-z_.])(?:0[xXbo])?[0-9A-Fa-f]{1,8}[ \t]*[,;:/| \t][ \t]*){3}[0-9A-Fa-f]",
    begin,
    "  0:   2   0  94  16   0   1   2   0\n  8:  94  16   0   2   8   6\n",
)
