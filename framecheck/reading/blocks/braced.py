"""A list in brackets, as programs write them, with remarks or names in front of its octets.

``/* type */ 0x08, 0x00,``: what a person annotates header by header. Lists without a remark are
rows like any others.
"""

from __future__ import annotations

import re

from framecheck.reading._block import Cells, Content, Form, Found
from framecheck.reading._lines import Line

_OPEN, _CLOSE = "{[(", "}])"
_REMARK = re.compile(r"/\*.*?\*/|//.*|(?<![0-9A-Za-z])#.*|--.*|(?<=[\s,])!.*")
_OPENED = re.compile(r"/\*.*")
_CLOSED = re.compile(r".*?\*/")
_NAMED = re.compile(r"(?<![0-9A-Za-z_])[.\[\"']?[A-Za-z_]\w*[\]\"']?[ \t]*[=:](?!=)")
_BEGINS = re.compile(r"[=:(]?[ \t]*(?:new byte)?(?:\[\])?[ \t]*[{\[(][ \t]*$")
_CELL = re.compile(r"0[xX]([0-9A-Fa-f]{1,2})(?![0-9A-Za-z_])[uU]?")
_REST = re.compile(r"[\s,{}\[\]()]*;?\s*")
_MOST = 4000
"""Lines of one list."""
_FEWEST = 14


def _spaces(m: re.Match[str]) -> str:
    return " " * len(m[0])


class _Braced:
    """The lines of one list, so far."""

    def __init__(self, line: Line, text: str) -> None:
        self.held = [line]
        self.rows: list[Cells] = []
        self.depth = _depth(text)
        self.remarks = False
        """Whether any remark or name stands in front of octets, or alone between them."""
        self.inside = False
        """Whether a remark goes on in the next line."""
        self.lead = line.text

    @property
    def lines(self) -> list[Line]:
        """All lines that are held."""
        return self.held

    def take(self, line: Line) -> bool:
        """Whether the line goes on with the list, which is not closed yet."""
        if self.depth <= 0 or len(self.held) >= _MOST:
            return False
        text = self._without_remarks(line.text)
        cells = list(_CELL.finditer(text))
        if not _REST.fullmatch(_CELL.sub(_spaces, text)):
            return False
        front = line.text[: cells[0].start()] if cells else line.text
        self.remarks = self.remarks or any(c.isalpha() for c in front)
        self.depth += _depth(text)
        self.held.append(line)
        if cells:
            octets = bytes([int(c[1], 16) for c in cells])
            columns = tuple([c.start(1) + 1 for c in cells])
            self.rows.append(Cells(line, octets, columns, tuple([c.end(1) + 1 for c in cells])))
        return True

    def _without_remarks(self, text: str) -> str:
        if self.inside:
            closed = _CLOSED.match(text)
            if closed is None:
                return " " * len(text)
            text = " " * closed.end() + text[closed.end() :]
        text = _REMARK.sub(_spaces, text)
        opened = _OPENED.search(text)
        self.inside = opened is not None
        return _NAMED.sub(_spaces, text[: opened.start()] if opened else text)

    def found(self) -> list[Found]:
        """The dump, when remarks stand among its octets and it is closed, or the log ends."""
        size = sum(len(row.octets) for row in self.rows)
        if not self.remarks or size < _FEWEST:
            return []
        words, more = "a list with remarks", self.depth > 0
        return [Found(tuple(self.rows), words, 8.0, (), self.lead, open=more)]


def _depth(text: str) -> int:
    return sum((c in _OPEN) - (c in _CLOSE) for c in text)


def begin(line: Line, content: Content | None) -> _Braced | None:
    """A block whose first line ends in an opening bracket, remarks aside."""
    text = _REMARK.sub(_spaces, line.text)
    return _Braced(line, text) if _BEGINS.search(text) and _depth(text) > 0 else None


BRACED = Form(
    "list with remarks",
    r"[=:(\]][ \t]*[{\[(][ \t]*(?:(?:/[/*]|#).*)?$",
    begin,
    "static const unsigned char rx[] = {\n  /* to */ 0x02, 0x00, 0x5e, 0x10, 0x00, 0x01,\n"
    "  /* from */ 0x02, 0x00, 0x5e, 0x10, 0x00, 0x02,\n  0x08, 0x06 /* type */\n};\n",
)
