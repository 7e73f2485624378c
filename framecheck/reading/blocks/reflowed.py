"""Rows that a mail's width broke: what does not fit stands in a line of its own below.

The lines are of no one width, since they break between octets; each has the marks of a quotation
in front. The offsets of the rows say how many octets the two parts of each row have.
"""

from __future__ import annotations

import re

from framecheck.reading._block import MOST_LINES, Cells, Content, Form, Found
from framecheck.reading._lines import Line
from framecheck.reading.traits.offset import number

_PAIR = "[0-9A-Fa-f]{2}"
_FRONT = r"(?P<front>(?:[ \t]*[>|])*[ \t]*)"
_CELLS = rf"(?P<cells>{_PAIR}(?:[ \t]{{1,2}}{_PAIR})*)[ \t]*"
_ROW = re.compile(rf"{_FRONT}(?:0[xX])?(?P<offset>[0-9A-Fa-f]{{3,8}})[:|>]?[ \t]+{_CELLS}")
_REST = re.compile(_FRONT + _CELLS)
_OCTET = re.compile(_PAIR)
_FEWEST = 2
_USUAL = (8, 16, 32)
"""Octets of a row that nothing broke, as most dumps have them."""


class _Reflowed:
    """Rows in two parts, so far."""

    def __init__(self, line: Line, row: re.Match[str]) -> None:
        self.held = [line]
        self.rows = [_cells(line, row)]
        self.front = row["front"].strip()
        self.first = row["offset"]
        self.bases = [b for b in (16, 10) if number(row["offset"], b) is not None]
        self.total = len(self.rows[0].octets)
        self.starts = 1
        self.rests = 0
        self.broken = False
        """Whether the row has its second part."""

    @property
    def lines(self) -> list[Line]:
        """All lines that are held."""
        return self.held

    def take(self, line: Line) -> bool:
        """Whether the line goes on with the block."""
        if len(self.held) >= MOST_LINES:
            return False
        rest = _REST.fullmatch(line.text)
        row = None if rest else _ROW.fullmatch(line.text)
        found = rest or row
        if found is None or found["front"].strip() != self.front:
            return False
        if row is not None:
            bases = [b for b in self.bases if self._counts(row["offset"], b)]
            if not self.broken or not bases:
                return False
            self.bases = bases
            self.starts += 1
        else:
            self.rests += 1
        self.broken = rest is not None
        cells = _cells(line, found)
        self.held.append(line)
        self.rows.append(cells)
        self.total += len(cells.octets)
        return True

    def _counts(self, digits: str, base: int) -> bool:
        return number(digits, base) == (number(self.first, base) or 0) + self.total

    def found(self) -> list[Found]:
        """The dump, when the offsets of several rows count the octets of their parts."""
        if self.starts < _FEWEST or self.rests < _FEWEST:
            return []
        proof = min(14.0, 5.0 + 2.0 * (self.starts - 1))
        return [Found(tuple(self.rows), "offsets, rows in two parts", proof)]


def _cells(line: Line, m: re.Match[str]) -> Cells:
    starts = [o.start() for o in _OCTET.finditer(line.text, *m.span("cells"))]
    columns = tuple([at + 1 for at in starts])
    octets = bytes.fromhex(m["cells"].replace("\t", " "))
    return Cells(line, octets, columns, tuple([c + 2 for c in columns]))


def begin(line: Line, content: Content | None) -> _Reflowed | None:
    """A block whose first line is a row of an unusual number of octets."""
    row = _ROW.fullmatch(line.text)
    if row is None or len(row["cells"].split()) in _USUAL:
        return None
    return _Reflowed(line, row)


REFLOWED = Form(
    "rows in two parts",
    r"^[>| \t]*(?:0[xX])?[0-9A-Fa-f]{3,8}[:|>]?[ \t]+(?:[0-9A-Fa-f]{2}[ \t]{1,2}){2,}"
    r"[0-9A-Fa-f]{2}[ \t]*$",
    begin,
    "> 0000: 02 00 5e 10 00\n> 01 02\n> 0007: 00 5e 10 00 02\n> 08 06\n",
)
