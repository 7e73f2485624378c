"""A frame field by field: destination, source, type and data, each behind its name."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from framecheck.core.frame import Doubt
from framecheck.reading._block import Cells, Content, Form, Found
from framecheck.reading._lines import Line
from framecheck.reading._track import SHORTEST
from framecheck.reading._wanted import has_fcs, wanted
from framecheck.reading.traits.offset import number

_OCTETS = (
    r"(?:0[xX])?(?:[0-9A-Fa-f]{2})+(?:(?:[ \t]?[:\-.,][ \t]?|[ \t]+)(?:0[xX])?(?:[0-9A-Fa-f]{2})+)*"
)
_PAIR = "[0-9A-Fa-f]{2}"
_FIELD = re.compile(
    r"(?<![0-9A-Za-z])(?P<name>[A-Za-z][A-Za-z_]*(?:[ _.\-]?(?:mac|addr(?:ess)?|hw|type))*)"
    r"(?:\[\d*\]|\d{1,3}(?=[ \t:=]))?"
    r"(?:(?:[ \t]{0,24}(?:[:=]+|->)|\t|[ ]{2})[ \t]{0,24}[{\[(<\"']?[ \t]{0,8}"
    rf"(?P<octets>{_OCTETS})(?![0-9A-Za-z_.:])"
    rf"|[ ](?P<address>{_PAIR}(?:[:\-]{_PAIR}){{5}}|(?:0[xX])?{_PAIR}{_PAIR})(?![0-9A-Za-z_.:\-]))",
    re.IGNORECASE,
)
_VALUE = re.compile(
    r"[^0-9A-Za-z]*(?P<name>[A-Za-z][\w.\-]*)(?:[ ][\w.\-]+)?"
    r"[ \t]*[:=]+[ \t]*(?:0[xX])?[0-9A-Fa-f]{2}"
).match
_MORE = re.compile(rf"[ \t|>*{{]*(?P<octets>{_OCTETS})[ \t}}\]);,|\"']*", re.IGNORECASE)
_LABEL = re.compile(r"[^0-9A-Za-z]*(?P<name>[A-Za-z][A-Za-z_]*)(?:[ ]?[\[(]\d*[\])])?[^0-9A-Za-z]*")
"""A field's name on a line of its own."""
_COUNTED = re.compile(
    rf".{{0,60}}?(?<![0-9A-Za-z_:.\-])(?:0[xX])?(?P<offset>[0-9A-Fa-f]{{2,8}})"
    rf"(?:[\])]?[:|>][ \t]*|[ \t]{{2,}})"
    rf"(?P<octets>{_PAIR}(?: {{1,2}}{_PAIR}){{0,63}})"
    rf"(?P<rest>[ \t]*[0-9A-Fa-f]?|[ \t]{{2,}}.{{1,80}})"
)
_BESIDE = re.compile(
    rf"[ \t]*(?P<offset>[0-9A-Fa-f]{{2,4}}) (?P<octets>{_PAIR}(?: {{1,2}}{_PAIR}){{0,63}})[ \t]*"
)
"""A row whose offset only its value tells from the octets."""
_GROUP = re.compile(r"(?<![0-9A-Fa-f])(?:0[xX])?([0-9A-Fa-f]+)")
_DIGITS = re.compile(r"0[xX]|[0-9A-Fa-f]{2}")
_TO = r"(?:dst|dest|destination|da|d_?host|to)"
_FROM = r"(?:src|source|sa|s_?host|from)"
_NAMES = (
    re.compile(rf"(?:\w*[_.])?{_TO}(?:[ _.\-]?(?:mac|addr(?:ess)?|hw))*|d", re.IGNORECASE),
    re.compile(rf"(?:\w*[_.])?{_FROM}(?:[ _.\-]?(?:mac|addr(?:ess)?|hw))*|s", re.IGNORECASE),
    re.compile(
        r"(?:\w*[_.])?(?:ether)?(?:[ _.\-]?)(?:type|kind|proto(?:col)?|len(?:gth)?)|t",
        re.IGNORECASE,
    ),
    re.compile(r"(?:\w*[_.])?(?:data|payload|body|rest|content|bytes|octets|hex)", re.IGNORECASE),
)
_SIZES = (6, 6, 2)
_LENGTH = re.compile(r"(?:\w*[_.])?(?:len(?:gth)?|size|count)|[ln]", re.IGNORECASE)
"""What is said behind the type, and is no octet of the frame."""
_LETTER = rf"[dDsS][:=](?:0[xX])?{_PAIR}(?:[:\-. ]?{_PAIR}){{5}}(?![0-9A-Fa-f])"
"""An address behind a letter alone."""
_STRONG = 4.0
_FCS = 4
_MOST = 4096


class _Piece(NamedTuple):
    kind: int
    cells: list[Cells]


class _Fields:
    """Fields of one frame, so far."""

    def __init__(self, content: Content | None) -> None:
        self.content = content
        self.held: list[Line] = []
        self.pieces: list[_Piece] = []
        self.kept = 0
        self.counted = False
        """Whether rows of the data have offsets: then all of them have."""
        self.beside = False
        """Whether a blank alone parts the offsets of the data from its octets."""
        self.name = ""
        """The name of the last part of the data."""
        self.opened = False
        """Whether the data's name stands on a line of its own."""
        self.stopped = 0
        """The line behind the last one, where it holds a field that the frame still wants."""

    @property
    def lines(self) -> list[Line]:
        """All lines that are held."""
        return self.held

    def take(self, line: Line) -> bool:
        """Whether the line goes on with the frame."""
        if len(self.held) < _MOST and self._goes_on(line):
            return True
        m = _VALUE(line.text)
        if m and _kind(m["name"]) not in (0, 1) and self._wants_more():
            self.stopped = line.number
        return False

    def _goes_on(self, line: Line) -> bool:
        text = line.text
        found = False
        more = self._more(text)
        if more:
            if self.pieces[-1].kind != 3:
                self.pieces.append(_Piece(3, []))
            self.pieces[-1].cells.append(_cells(line, *more.span("octets")))
            found = True
        for m in _FIELD.finditer(text) if not more else ():
            where = "octets" if m["octets"] else "address"
            kind = _kind(m["name"])
            seen = {p.kind for p in self.pieces}
            cells = _cells(line, *m.span(where))
            if _LENGTH.fullmatch(m["name"]) and 2 in seen and 3 not in seen:
                continue
            other = kind is None or (kind in seen and len(cells.octets) != _SIZES[0])
            if other and m["octets"] and _even(m["octets"]) and self._takes(m["name"]):
                kind = 3  # a part of the data, whatever its name
            if kind is None or (kind == 3 and where == "address"):
                continue
            if kind < 3 and (kind in seen or len(cells.octets) != _SIZES[kind]):
                return False
            if kind == 3 and not (seen >= {0, 1} and (3 not in seen or self._takes(m["name"]))):
                return False
            self.name = m["name"] if kind == 3 else ""
            self.pieces.append(_Piece(kind, [cells]))
            found = True
        if not found:
            if not self.pieces or self.pieces[-1].kind == 3 or not _passes(text):
                return False
            label = _LABEL.fullmatch(text)
            self.opened = label is not None and _kind(label["name"]) == 3
        self.held.append(line)
        if found:
            self.kept = len(self.held)
        return True

    def _more(self, text: str) -> re.Match[str] | None:
        """Data on a line that has no name: more of it, or a row whose offset counts on."""
        rows = self._rows()
        total = sum(len(row.octets) for row in rows)
        header = sum(_SIZES)
        ways = [(_COUNTED, {total, total - header})]
        if self.beside or total == header:
            ways.append((_BESIDE, {total}))
        for pattern, starts in ways if rows else ():
            counted = pattern.fullmatch(text)
            if counted and {number(counted["offset"], base) for base in (16, 10)} & starts:
                self.beside = pattern is _BESIDE
                self.counted = True
                return counted
        if self.counted:
            return None
        goes_on = self.pieces and (self.pieces[-1].kind == 3 or (self.opened and rows))
        more = _MORE.fullmatch(text) if goes_on or rows else None
        if more is None or not (goes_on or _asked_for(rows, more["octets"])):
            return None
        return more if _has_room(rows, more["octets"]) else None

    def _rows(self) -> list[Cells]:
        """The rows in the order of the frame; none as long as its header is not whole."""
        pieces = sorted(self.pieces, key=lambda p: p.kind)
        if [p.kind for p in pieces[:3]] != [0, 1, 2]:
            return []
        return [cells for piece in pieces for cells in piece.cells]

    def _takes(self, name: str) -> bool:
        """Whether more data may stand behind this name: padding, behind that of the data."""
        total = sum(len(cells.octets) for piece in self.pieces for cells in piece.cells)
        return self._wants_more() or (name == self.name and total < SHORTEST)

    def _wants_more(self) -> bool:
        """Whether the frame is not whole: by its own length, or by want of any data."""
        rows = self._rows()
        octets = b"".join([row.octets for row in rows])
        own = wanted(octets)
        return bool(rows) and (len(octets) < own if own else len(octets) == sum(_SIZES))

    def found(self) -> list[Found]:
        """The frame, if its fields are all there."""
        rows = self._rows()
        if not rows:
            return []
        octets = b"".join([row.octets for row in rows])
        if self.content is None or self.content(octets) < _STRONG:
            return []
        doubts = []
        if self.stopped:
            other = "further on: the line holds a field of its own"
            doubts = [Doubt("where the dump ends", "before this line", other, True, self.stopped)]
        if len(octets) == sum(_SIZES):
            other = "further on: what its type announces stands elsewhere"
            line = rows[0].line.number
            doubts.append(Doubt("where the dump ends", "behind its link header", other, True, line))
        short = _short_row(rows)
        if short:
            other = "more: it is shorter than the rows above and below it"
            doubts.append(Doubt("lost octets", "the row as printed", other, True, short))
        open_ended = self._wants_more()
        return [Found(tuple(rows), "field by field", 12.0, tuple(doubts), open=open_ended)]


def _with(rows: Sequence[Cells], octets: str) -> tuple[bytes, bytes]:
    """The octets of the rows so far, and those of more digits."""
    more = bytes([int(m[0], 16) for m in _DIGITS.finditer(octets) if m[0][1] not in "xX"])
    return b"".join([row.octets for row in rows]), more


def _asked_for(rows: Sequence[Cells], octets: str) -> bool:
    """Whether octets without a name begin as the type in front of them has it."""
    header, begun = _with(rows, octets)
    return wanted(header + begun) is not None


def _has_room(rows: Sequence[Cells], octets: str) -> bool:
    """Whether octets without a name may be the frame's: behind its end only zeros or its FCS."""
    header, more = _with(rows, octets)
    own, total = wanted(header), len(header)
    if own is None or total < own or (total < SHORTEST and not any(more)):
        return True
    return len(more) == _FCS and has_fcs(header + more)


def _short_row(rows: Sequence[Cells]) -> int:
    """The line of a row without a name that is shorter than both its neighbours; else 0."""
    for above, row, below in zip(rows, rows[1:], rows[2:], strict=False):
        size = len(above.octets)
        bare = not any(c.isalnum() for c in row.line.text[: row.columns[0] - 1])
        if bare and size == len(below.octets) > max(len(row.octets), _SIZES[0]):
            return row.line.number
    return 0


def _kind(name: str) -> int | None:
    return next((k for k, known in enumerate(_NAMES) if known.fullmatch(name)), None)


def _even(octets: str) -> bool:
    """Whether groups are of one size, but for the last: a number in front of others is none."""
    sizes = [len(group) for group in _GROUP.findall(octets)]
    return len(set(sizes[:-1])) < 2 and sizes[-1] <= sizes[0]


def _passes(text: str) -> bool:
    """Whether a line without octets may stand between two fields: it is short, or blank."""
    return len(text.strip()) <= 24


def _cells(line: Line, start: int, stop: int) -> Cells:
    columns = [
        start + m.start() + 1
        for m in _DIGITS.finditer(line.text[start:stop])
        if m[0][1] not in "xX"
    ]
    octets = bytes([int(line.text[c - 1 : c + 1], 16) for c in columns])
    return Cells(line, octets, tuple(columns), tuple([c + 2 for c in columns]))


def begin(line: Line, content: Content | None) -> _Fields | None:
    """A block whose first line holds a destination or a source."""
    block = _Fields(content)
    return block if block.take(line) and block.pieces else None


FIELDS = Form(
    "field by field",
    rf"(?i:(?<![0-9A-Za-z])(?:{_TO}|{_FROM})(?:[ _.\-]?(?:mac|addr(?:ess)?|hw))*(?:\[\d*\])?[ \t]*"
    r"(?:[:=]+|->|(?<=[ \t]))[ \t]*[{\[(<\"']?[ \t]*(?:0x)?[0-9a-f]{2}[:\-., \t0-9a-f])"
    rf"|(?<![0-9A-Za-z]){_LETTER}",
    begin,
    "dst: 02:00:5e:10:00:01\nsrc: 02:00:5e:10:00:02\ntype: 0x0806\n"
    "data: 00 01 08 00 06 04 00 01 02 00 5e 10 00 02 c0 00\n",
)
