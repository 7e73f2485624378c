"""A frame header by header: each row behind the name of its part, and often the part's length."""

from __future__ import annotations

import re
from typing import NamedTuple

from framecheck.core.frame import Doubt
from framecheck.reading._block import Cells, Content, Form, Found
from framecheck.reading._lines import Line
from framecheck.reading._track import SHORTEST, STRONG
from framecheck.reading._wanted import wanted
from framecheck.reading.traits.gutter import before

_GROUP = "(?:[0-9A-Fa-f]{2})+"
_OCTETS = rf"{_GROUP}(?:[ :\-]{_GROUP})*"
_PART = re.compile(
    rf"(?P<lead>.*[A-Za-z].*?[:=|>\])][ \t]*)(?P<octets>{_OCTETS})(?P<behind>[^0-9A-Za-z]*)"
)
_PAIR = re.compile(r"[0-9A-Fa-f]{2}")
_ROW = re.compile(rf"(?<![0-9A-Za-z]){_GROUP}(?:[ :\-]{_GROUP}){{6,}}").search
"""Octets in front of the name: the end of their line is lost."""
_LENGTH = re.compile(r"(?<![0-9A-Za-z])(\d{1,4})(?![0-9A-Za-z])")
_HEADER = 14
_LONGEST = 1200
_MOST = 200
"""Rows of one frame, at the most."""


class _Part(NamedTuple):
    name: str
    lengths: tuple[int, ...]
    cells: Cells


def _part(line: Line) -> _Part | None:
    m = _PART.fullmatch(line.text) if len(line.text) <= _LONGEST else None
    if m is None or _ROW(m["lead"]):
        return None
    columns = tuple([p.start() + 1 for p in _PAIR.finditer(line.text, *m.span("octets"))])
    octets = bytes.fromhex(re.sub(r"[^0-9A-Fa-f]", "", m["octets"]))
    cells = Cells(line, octets, columns, tuple([c + 2 for c in columns]))
    lengths = tuple([int(n) for n in _LENGTH.findall(m["lead"])])
    return _Part(re.sub(r"[\d\s]+", "", m["lead"]), lengths, cells)


class _Named:
    """Parts of one frame, so far."""

    def __init__(self, part: _Part) -> None:
        self.parts = [part]
        self.held = [part.cells.line]
        self.octets = part.cells.octets

    @property
    def lines(self) -> list[Line]:
        """All lines that are held."""
        return self.held

    def take(self, line: Line) -> bool:
        """Whether the line goes on with the frame, which is not whole yet."""
        if len(self.held) >= _MOST or self._whole():
            return False
        part = _part(line)
        if part is None or part.name == self.parts[0].name:
            return False
        if len(self.parts) == 1 and wanted(self.octets + part.cells.octets) is None:
            return False  # no header of what the first part announces
        self.parts.append(part)
        self.held.append(line)
        self.octets += part.cells.octets
        return True

    def _whole(self) -> bool:
        own = wanted(self.octets)
        return own is not None and len(self.octets) >= max(own, SHORTEST)

    def found(self) -> list[Found]:
        """The frame, if a second part goes on with it."""
        if len(self.parts) < 2:
            return []
        own = wanted(self.octets) or 0
        number = self.parts[0].cells.line.number
        doubts: tuple[Doubt, ...] = ()
        if len(self.octets) < own:
            doubts = (
                Doubt(
                    "where the dump ends",
                    f"behind {len(self.parts)} parts",
                    "elsewhere: its own length asks for more octets",
                    True,
                    number,
                ),
            )
        said = sum(len(p.cells.octets) in p.lengths for p in self.parts)
        rows = tuple([p.cells for p in self.parts])
        return [Found(rows, "header by header", 6.0 + min(6.0, 2.0 * said), doubts)]


def begin(line: Line, content: Content | None) -> _Named | None:
    """A block whose first line is a link header, or begins with one, behind a name."""
    part = _part(line)
    if part is None or content is None or len(part.cells.octets) < _HEADER:
        return None
    block = _Named(part)
    if block._whole() or content(part.cells.octets) < STRONG:
        return None
    if before(part.cells.octets, line.text[: part.cells.columns[0] - 1]):
        return None  # the octets' characters, no name
    return block


NAMED = Form(
    "header by header",
    rf"[:=|>\])][ \t]*{_GROUP}(?:[ :\-]{_GROUP}){{6,}}",
    begin,
    "mac 14: 02 00 5e 10 00 01 02 00 5e 10 00 02 08 06\n"
    "arp 8: 00 01 08 00 06 04 00 01\nmore: 00 00\n",
)
