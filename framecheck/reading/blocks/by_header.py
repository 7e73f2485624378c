"""A frame header by header: lines of 14, 20, 8 octets, each maybe behind or below its name.

No width says where such a frame ends, and no offset; its own length does, exactly. Where it does
not, names have to, and a line that announces the length.
"""

from __future__ import annotations

import re
from itertools import accumulate

from framecheck.core.frame import Doubt
from framecheck.reading._block import Cells, Content, Form, Found
from framecheck.reading._lines import Line
from framecheck.reading._track import SHORTEST, STRONG
from framecheck.reading._wanted import TAGS, has_fcs, wanted

_PAIR = "[0-9A-Fa-f]{2}"
_BETWEEN = r"(?:[ \t]{1,2}|[:\-.]|,[ \t]?)"
_NAME = r"(?:[A-Za-z][\w/.\- ]{0,23}?(?:[ \t]?(?:[:|>][ \t]+|->[ \t]*|=[ \t]*)|[ \t]{2,}))"
_FRONT = r"(?:[>|*\-]?[ \t]*)"
_CELLS = rf"{_PAIR}(?:{_BETWEEN}?{_PAIR})*"
_ROW = re.compile(rf"[ \t]*{_FRONT}(?P<name>{_NAME})?[\[({{<]?(?P<cells>{_CELLS})[ \t,;|\])}}>]*")
_LABEL = re.compile(r"[ \t]*[>|*#=\-]*[ \t]*(?:[A-Za-z][\w/.,\- ()]{0,31}[:=>\-]*)?[ \t#=*\-]*")
"""A name on a line of its own, or a blank line."""
_OCTET = re.compile(_PAIR)
_FEWEST = 3
"""Rows; two of them are one row and its rest."""
_MOST = 512
_LONGEST = 1600
_FCS = 4
_HEAD = 64
_LINK, _TAG = 14, 4


class _Headers:
    """Lines of one frame, so far."""

    def __init__(self, content: Content) -> None:
        self.content = content
        self.held: list[Line] = []
        self.rows: list[Cells] = []
        self.named = False
        """Whether the last line is a name alone."""
        self.names = 0
        """Names on lines of their own, and in front of rows."""
        self.octets = b""
        self.whole = 0
        """Rows by which the frame was whole, by its own length."""

    @property
    def lines(self) -> list[Line]:
        """All lines that are held."""
        return self.held

    def take(self, line: Line) -> bool:
        """Whether the line goes on with the frame."""
        if len(self.held) >= _MOST or len(line.text) > _LONGEST or self._through():
            return False
        row = _ROW.fullmatch(line.text)
        cells = _cells(line, row) if row is not None else None
        if cells is not None and row is not None and self._may_hold(cells, bool(row["name"])):
            self.octets += cells.octets
            if len(self.octets) >= _LINK + 8 and self.content(self.octets[:_HEAD]) < STRONG:
                return False
            self.rows.append(cells)
            self.names += bool(row["name"])
            if self._ends():
                self.whole = len(self.rows)
        elif row is not None or self.named or not self.rows or not _LABEL.fullmatch(line.text):
            return False
        else:
            self.names += 1
        self.named = row is None
        self.held.append(line)
        return True

    def _may_hold(self, cells: Cells, named: bool) -> bool:
        """Whether a row may be the frame's: behind its own end, one with a name is padding."""
        return not (self.whole and named) or len(self.octets + cells.octets) <= SHORTEST

    def _through(self) -> bool:
        """Whether the frame has all that may stand behind it: padding and its FCS."""
        own = wanted(self.octets)
        return own is not None and len(self.octets) >= max(own, SHORTEST) + _FCS

    def _ends(self) -> bool:
        """Whether the frame ends with this row, by its own length."""
        total, own = len(self.octets), wanted(self.octets)
        if own is None:
            return False
        padded = max(own, SHORTEST)
        tagged = self.octets[12:14] in TAGS and own < total == SHORTEST + _TAG
        return total in (own, padded) or tagged or (total == padded + _FCS and has_fcs(self.octets))

    def found(self) -> list[Found]:
        """The frame, if a row ends with its link header, another with it, and rows are uneven."""
        rows = self.rows[: self.whole or None]
        if not self.whole and (self.names < _FEWEST or len(rows[0].octets) < _LINK):
            return []
        link = _LINK + _TAG * (self.octets[12:14] in TAGS)
        if link not in accumulate(len(row.octets) for row in rows):
            return []
        sizes = {len(row.octets) for row in rows[:-1]}
        if len(rows) < _FEWEST or (len(sizes) < 2 and not self.names):
            return []
        doubts: tuple[Doubt, ...] = ()
        if not self.whole:
            # Names are all that holds the rows together.
            other = "elsewhere: its own header says another length"
            line = rows[-1].line.number
            doubts = (Doubt("where the dump ends", "behind this line", other, True, line),)
        return [Found(tuple(rows), "header by header", 12.0, doubts)]


def _cells(line: Line, row: re.Match[str]) -> Cells:
    found = list(_OCTET.finditer(line.text, *row.span("cells")))
    columns = tuple([m.start() + 1 for m in found])
    octets = bytes([int(m[0], 16) for m in found])
    return Cells(line, octets, columns, tuple([c + 2 for c in columns]))


def begin(line: Line, content: Content | None) -> _Headers | None:
    """A block whose first line is the first header, or the first part of it."""
    if content is None:
        return None
    block = _Headers(content)
    return block if block.take(line) else None


def _exactly(count: int) -> str:
    return rf"{_PAIR}(?:{_BETWEEN}?{_PAIR}){{{count - 1}}}"


_TAGGED = _BETWEEN.join([_exactly(12), "81", "00", _PAIR, _PAIR])
"""A full row, so that the rest of a link header with a tag stands below."""
BY_HEADER = Form(
    "header by header",
    rf"^[ \t]*{_FRONT}{_NAME}?[\[({{<]?"
    rf"(?:{'|'.join(_exactly(n) for n in (6, 12, 14, 18))}|{_TAGGED})[ \t,;|\])}}>]*$",
    begin,
    "eth: 02 00 5e 10 00 01 02 00 5e 10 00 02 08 06\narp: 00 01 08 00 06 04 00 01\n"
    "from: 02 00 5e 10 00 02 c0 00 02 01\nfor: 00 00 00 00 00 00 c0 00 02 02\n",
)
