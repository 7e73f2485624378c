"""Two writers by turns, each with its word in front: what a bus carries out, and what comes back.

Rows without offsets, as many octets each but for the last. A stream is a dump where its contents
begin a frame that goes on in its next row; what clocks the other way out is mostly fill.
"""

from __future__ import annotations

import re

from framecheck.core.frame import Doubt
from framecheck.reading._block import MOST_LINES, Cells, Content, Form, Found, begins_anew
from framecheck.reading._lines import Line
from framecheck.reading._track import STRONG
from framecheck.reading._wanted import wanted

_ROW = re.compile(
    r"(?P<lead>[^0-9A-Za-z]*[A-Za-z][\w \t.\-]{0,24}[:=>|\])]{1,2}[ \t]*)"
    r"(?P<cells>[0-9A-Fa-f]{2}(?:[ :,\-][0-9A-Fa-f]{2}){0,63})[ \t]*"
)
_PAIR = re.compile(r"[0-9A-Fa-f]{2}")
_FEWEST = 8
_HEAD = 64
"""Octets by which the beginning of a frame is known."""


class _Turns:
    """Rows of two writers, so far."""

    def __init__(self, line: Line, row: re.Match[str], content: Content) -> None:
        self.held = [line]
        self.leads = [row["lead"]]
        self.streams: list[list[Cells]] = [[_cells(line, row)], []]
        self.content = content
        self.ended = False
        self.stopped = 0
        """The line behind the last one, where it is a row that stands out of turn."""

    @property
    def lines(self) -> list[Line]:
        """All lines that are held."""
        return self.held

    def take(self, line: Line) -> bool:
        """Whether the line is the row of that writer whose turn it is."""
        if self._goes_on(line):
            return True
        row = _ROW.fullmatch(line.text) if not self.ended else None
        if row is not None and row["lead"] in self.leads:
            self.stopped = line.number
        return False

    def _goes_on(self, line: Line) -> bool:
        row = _ROW.fullmatch(line.text) if not self.ended else None
        turn = len(self.held) % 2
        if row is None or len(self.held) >= MOST_LINES:
            return False
        if len(self.leads) < 2:
            if row["lead"] == self.leads[0]:
                return False
            self.leads.append(row["lead"])
        elif row["lead"] != self.leads[turn]:
            return False
        cells = _cells(line, row)
        first = self.streams[0][0]
        if len(cells.octets) > len(first.octets):
            return False
        if turn and len(cells.octets) != len(self.streams[0][-1].octets):
            return False
        self.ended = bool(turn) and len(cells.octets) < len(first.octets)
        self.streams[turn].append(cells)
        self.held.append(line)
        return True

    def found(self) -> list[Found]:
        """The streams that begin a frame, unless each row is one of its own."""
        return [found for rows, lead in zip(self.streams, self.leads, strict=False)
                for found in self._one(rows, lead)]  # fmt: skip

    def _one(self, rows: list[Cells], lead: str) -> list[Found]:
        octets = b"".join([row.octets for row in rows])
        if len(rows) < 2 or self.content(octets[:_HEAD]) < 2 * STRONG:
            return []
        first = rows[0].octets
        if len(first) >= (wanted(first) or len(octets)):
            return []
        if any(begins_anew(self.content, first, row.octets) for row in rows[1:]):
            return []
        doubts = []
        if self.stopped and len(octets) < (wanted(octets) or 0):
            other = "further on: a row of these two writers stands out of its turn"
            doubts = [Doubt("where the dump ends", "before this line", other, True, self.stopped)]
        name = "rows of two writers by turns"
        return [Found(tuple(rows), name, 6.0 + len(rows), tuple(doubts), lead)]


def _cells(line: Line, row: re.Match[str]) -> Cells:
    starts = [m.start() for m in _PAIR.finditer(line.text, *row.span("cells"))]
    columns = tuple([at + 1 for at in starts])
    octets = bytes([int(line.text[at : at + 2], 16) for at in starts])
    return Cells(line, octets, columns, tuple([c + 2 for c in columns]))


def begin(line: Line, content: Content | None) -> _Turns | None:
    """A block whose first line holds a row of octets behind a word."""
    row = _ROW.fullmatch(line.text) if content is not None else None
    if row is None or content is None:
        return None
    block = _Turns(line, row, content)
    return block if len(block.streams[0][0].octets) >= _FEWEST else None


BY_TURNS = Form(
    "two writers by turns",
    r"[A-Za-z][\w \t.\-]{0,24}[:=>|\])]{1,2}[ \t]*(?:[0-9A-Fa-f]{2}[ :,\-]){7}[0-9A-Fa-f]{2}",
    begin,
    "out: 00 00 00 00 00 00 00 00\nin:  02 00 5e 10 00 01 02 00\n"
    "out: 00 00 00 00 00 00 00 00\nin:  5e 10 00 02 08 06 00 01\n"
    "out: 00 00 00 00 00 00 00 00\nin:  08 00 06 04 00 01 02 00\n"
    "out: 00 00 00 00 00 00 00 00\nin:  5e 10 00 02 c0 00 02 01\n"
    "out: 00 00 00 00 00 00 00 00\nin:  00 00 00 00 00 00 c0 00\n"
    "out: 00 00\nin:  02 02\n",
)
