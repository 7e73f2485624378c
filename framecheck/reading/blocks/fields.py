"""A frame field by field: destination, source, type and data, each behind its name."""

from __future__ import annotations

import re
from typing import NamedTuple

from framecheck.reading._block import Cells, Content, Form, Found
from framecheck.reading._lines import Line

_OCTETS = (
    r"(?:0[xX])?(?:[0-9A-Fa-f]{2})+(?:(?:[ \t]?[:\-.,][ \t]?|[ \t]+)(?:0[xX])?(?:[0-9A-Fa-f]{2})+)*"
)
_FIELD = re.compile(
    r"(?<![0-9A-Za-z])(?P<name>[A-Za-z][A-Za-z_]*(?:[ _.\-]?(?:mac|addr(?:ess)?|hw|type))*)"
    r"(?:\[\d*\])?[ \t]*(?:[:=]+|->)[ \t]*[{\[(<\"']?[ \t]*"
    rf"(?P<octets>{_OCTETS})(?![0-9A-Za-z_.:])",
    re.IGNORECASE,
)
_MORE = re.compile(rf"[ \t|>*{{]*(?P<octets>{_OCTETS})[ \t}}\]);,|\"']*", re.IGNORECASE)
_DIGITS = re.compile(r"0[xX]|[0-9A-Fa-f]{2}")
_TO = r"(?:dst|dest|destination|da|d_?host|to)"
_FROM = r"(?:src|source|sa|s_?host|from)"
_NAMES = (
    re.compile(rf"(?:\w*[_.])?{_TO}(?:[ _.\-]?(?:mac|addr(?:ess)?|hw))*", re.IGNORECASE),
    re.compile(rf"(?:\w*[_.])?{_FROM}(?:[ _.\-]?(?:mac|addr(?:ess)?|hw))*", re.IGNORECASE),
    re.compile(
        r"(?:\w*[_.])?(?:ether)?(?:[ _.\-]?)(?:type|proto(?:col)?|len(?:gth)?)", re.IGNORECASE
    ),
    re.compile(r"(?:\w*[_.])?(?:data|payload|body|rest|content|bytes|octets|hex)", re.IGNORECASE),
)
_SIZES = (6, 6, 2)
_STRONG = 4.0
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

    @property
    def lines(self) -> list[Line]:
        """All lines that are held."""
        return self.held

    def take(self, line: Line) -> bool:
        """Whether the line goes on with the frame."""
        if len(self.held) >= _MOST:
            return False
        text = line.text
        found = False
        for m in _FIELD.finditer(text):
            kind = _kind(m["name"])
            cells = _cells(line, m.start("octets"), m.end("octets"))
            if kind is None:
                continue
            if kind in [p.kind for p in self.pieces] or (
                kind < 3 and len(cells.octets) != _SIZES[kind]
            ):
                return False
            if kind == 3 and not {p.kind for p in self.pieces} >= {0, 1}:
                return False
            self.pieces.append(_Piece(kind, [cells]))
            found = True
        if not found and self.pieces and self.pieces[-1].kind == 3:
            more = _MORE.fullmatch(text)
            if more:
                start, stop = more.span("octets")
                self.pieces[-1].cells.append(_cells(line, start, stop))
                found = True
        if not found and (not self.pieces or self.pieces[-1].kind == 3 or not _passes(text)):
            return False
        self.held.append(line)
        if found:
            self.kept = len(self.held)
        return True

    def found(self) -> list[Found]:
        """The frame, if its fields are all there."""
        pieces = sorted(self.pieces, key=lambda p: p.kind)
        if [p.kind for p in pieces[:3]] != [0, 1, 2]:
            return []
        rows = [cells for piece in pieces for cells in piece.cells]
        octets = b"".join([row.octets for row in rows])
        if self.content is None or self.content(octets) < _STRONG:
            return []
        return [Found(tuple(rows), "field by field", 12.0)]


def _kind(name: str) -> int | None:
    return next((k for k, known in enumerate(_NAMES) if known.fullmatch(name)), None)


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
    r"(?:[:=]+|->)[ \t]*[{\[(<\"']?[ \t]*(?:0x)?[0-9a-f]{2}[:\-., \t0-9a-f])",
    begin,
    "dst: 02:00:5e:10:00:01\nsrc: 02:00:5e:10:00:02\ntype: 0x0806\n"
    "data: 00 01 08 00 06 04 00 01 02 00 5e 10 00 02 c0 00\n",
)
