"""What a terminal is told between the characters: colours, cursor moves, fill; taken out of a line.

The sequences are those of ECMA-48 (section 5.4, control sequences, and operating system commands
up to a BEL) and the usual choice of a character set; from memory. A lone escape, and one in front
of a digit, is noise: it stays. The characters that stay keep their columns.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from framecheck.reading._lines import Line, Piece
from framecheck.reading._spelled import spelled
from framecheck.reading.traits.plain import PLACED, plain

_TOLD = re.compile(
    r"(?:\x1b\[[0-?]*[ -/]*[@-~]|\x1b\][^\x07\x1b]*(?:\x07|\x1b\\)|\x1b[()][0AB]|\x1b[=>HMNOZ]|\0)+"
)


def is_plain(text: str) -> bool:
    """Whether a line is shown as it stands, for sure."""
    strange = "\x1b" in text or "\0" in text or "\\" in text or "#01" in text
    return text.isascii() and not strange


def shown(line: Line) -> tuple[Line, ...]:
    """The line as a terminal shows it, with blanks of any kind as blanks.

    It is several where the cursor was put into another row: a screen is filled without line ends.
    """
    text = plain(line.text)
    if "\x1b" not in text and "\0" not in text:
        same = line if text == line.text else line._replace(text=text)
        return spelled(same) if "\\" in text or "#01" in text else (same,)
    pieces: list[Piece] = []
    kept: list[str] = []
    cuts: list[int] = []
    at = column = 0
    row = ""
    for told in _TOLD.finditer(text):
        if told.start() > column:
            kept.append(text[column : told.start()])
            pieces.append(_piece(line, at, column, told.end()))
            at += told.start() - column
        column = told.end()
        for placed in PLACED.finditer(told[0]):
            if at and (placed[1] is None or placed[1] != row):
                cuts.append(at)
            row = placed[1] or ""
    if column < len(text) or not pieces:
        kept.append(text[column:])
        pieces.append(_piece(line, at, column, len(text)))
    rest = line.size - len(text)
    pieces[-1] = pieces[-1]._replace(size=pieces[-1].size + rest)
    whole = line._replace(text="".join(kept), pieces=tuple(pieces))
    return tuple(_rows(whole, cuts)) if cuts else (whole,)


def _rows(line: Line, cuts: list[int]) -> Iterator[Line]:
    """The parts of a line between places at which a piece of it begins."""
    edges = sorted({0, *cuts, len(line.text)})
    for start, stop in pairwise(edges):
        pieces = [p._replace(at=p.at - start) for p in line.pieces if start <= p.at < stop]
        size = sum(p.size for p in pieces)
        last = stop == edges[-1]
        yield Line(
            line.text[start:stop], line.number, pieces[0].start, size, line.ended and last,
            tuple(pieces),
        )  # fmt: skip


def _piece(line: Line, at: int, column: int, stop: int) -> Piece:
    return Piece(at, line.number, column, line.start + column, stop - column)
