"""A list whose lines hold parts of a frame, of any number of octets, with remarks between them."""

from __future__ import annotations

import re

from framecheck.core.frame import Doubt
from framecheck.reading._block import MOST_LINES, Cells, Content, Form, Found
from framecheck.reading._lines import Line

_OCTET = r"(?:0[xX]|\$)?[0-9A-Fa-f]{2}"
_STRING = "(?:[0-9A-Fa-f]{2})+(?: (?:[0-9A-Fa-f]{2})+)*"
_REMARK = r"(?://.*|/\*.*|[#;].*|--.*)"
_ROW = re.compile(
    rf"[ \t]*[{{\[(]?[ \t]*(?:(?P<cells>{_OCTET}(?:,[ \t]*{_OCTET})*)(?P<more>[ \t]*,)?"
    rf"|[\"'](?P<string>{_STRING})[\"'](?P<goes_on>[ \t]*[,+\\]?))[ \t]*"
    rf"(?P<end>[}}\])][ \t]*[;,)]{{0,2}}[ \t]*)?{_REMARK}?"
)
_BETWEEN = re.compile(rf"[ \t]*(?:{_REMARK}|\*.*)?")
_PAIR = re.compile(r"[0-9A-Fa-f]{2}(?![xX])")
_USUAL = (8, 16)
"""Octets of a line of a list whose lines are all alike."""
_MOST_BETWEEN = 3


class _List:
    """Lines of a list, so far."""

    def __init__(self, line: Line, row: re.Match[str]) -> None:
        self.held = [line]
        self.rows = [_cells(line, row)]
        self.strings = row["string"] is not None
        self.between = 0
        self.remarks = False
        self.ended = False

    @property
    def lines(self) -> list[Line]:
        """All lines that are held."""
        return self.held

    def take(self, line: Line) -> bool:
        """Whether the line goes on with the list."""
        if self.ended or len(self.held) >= MOST_LINES:
            return False
        row = _ROW.fullmatch(line.text)
        if row is not None and (row["string"] is None) != self.strings:
            self.rows.append(_cells(line, row))
            self.remarks = self.remarks or self.between > 0
            self.between = 0
            self.ended = bool(row["end"]) or (not row["more"] and row["string"] is None)
        elif self.between < _MOST_BETWEEN and _BETWEEN.fullmatch(line.text):
            self.between += 1
        else:
            return False
        self.held.append(line)
        return True

    def found(self) -> list[Found]:
        """The dump, if its lines are such as no other reading takes for rows of one dump."""
        sizes = {len(row.octets) for row in self.rows[:-1]}
        total = sum(len(row.octets) for row in self.rows)
        ended = self.ended or self.strings or self.between or not self.held[-1].ended
        if not ended or total < 14 or not (self.remarks or len(sizes) > 1):
            return []
        doubts = self._first_short()
        return [Found(tuple(self.rows), "a list in parts", 4.0, doubts, open=not self.ended)]

    def _first_short(self) -> tuple[Doubt, ...]:
        """That the first row lacks octets, where all behind it, and not it, are of a usual size."""
        sizes = [len(row.octets) for row in self.rows[1:-1]]
        if self.remarks or not sizes or {*sizes} - {*_USUAL} or len({*sizes}) > 1:
            return ()
        if len(self.rows[0].octets) >= sizes[0]:
            return ()
        line = self.rows[0].line.number
        other = "more: it is shorter than the rows behind it"
        return (Doubt("lost octets", "the first row as printed", other, True, line),)


def _cells(line: Line, row: re.Match[str]) -> Cells:
    where = row.span("cells" if row["string"] is None else "string")
    columns = tuple([m.start() + 1 for m in _PAIR.finditer(line.text, *where)])
    octets = bytes([int(line.text[c - 1 : c + 1], 16) for c in columns])
    return Cells(line, octets, columns, tuple([c + 2 for c in columns]))


def begin(line: Line, content: Content | None) -> _List | None:
    """A block whose first line holds an unusual number of octets, and goes on."""
    row = _ROW.fullmatch(line.text)
    if row is None or row["end"] or not (row["more"] or row["string"]):
        return None
    block = _List(line, row)
    return None if len(block.rows[0].octets) in _USUAL else block


LISTED = Form(
    "list in parts",
    rf"^[ \t]*[{{\[(]?[ \t]*(?:{_OCTET}(?:,[ \t]*{_OCTET})*[ \t]*,"
    rf"|[\"']{_STRING}[\"'][ \t]*[,+\\]?)[ \t]*{_REMARK}?$",
    begin,
    "0x02, 0x00, 0x5e, 0x10, 0x00, 0x01,\n// from\n0x02, 0x00, 0x5e, 0x10, 0x00, 0x02,\n"
    "/* kind */\n0x08, 0x06\n",
)
