"""What a terminal is told between the characters: colours, cursor moves, fill; taken out of a line.

The sequences are those of ECMA-48 (section 5.4, control sequences, and operating system commands
up to a BEL) and the usual choice of a character set; from memory. A lone escape, and one in front
of a digit, is noise: it stays. The characters that stay keep their columns.
"""

from __future__ import annotations

import re

from framecheck.reading._lines import Line, Piece

_TOLD = re.compile(
    r"(?:\x1b\[[0-?]*[ -/]*[@-~]|\x1b\][^\x07\x1b]*(?:\x07|\x1b\\)|\x1b[()][0AB]|\x1b[=>HMNOZ]|\0)+"
)
_BLANKS = str.maketrans(dict.fromkeys("\u00a0\u2007\u2009\u202f\u3000", " "))


def shown(line: Line) -> Line:
    """The line as a terminal shows it, with blanks of any kind as blanks."""
    text = line.text
    if not text.isascii():
        text = text.translate(_BLANKS)
    if "\x1b" not in text and "\0" not in text:
        return line if text == line.text else line._replace(text=text)
    pieces: list[Piece] = []
    kept: list[str] = []
    at = column = 0
    for told in _TOLD.finditer(text):
        if told.start() > column:
            kept.append(text[column : told.start()])
            pieces.append(_piece(line, at, column, told.end()))
            at += told.start() - column
        column = told.end()
    if column < len(text) or not pieces:
        kept.append(text[column:])
        pieces.append(_piece(line, at, column, len(text)))
    rest = line.size - len(text)
    pieces[-1] = pieces[-1]._replace(size=pieces[-1].size + rest)
    return line._replace(text="".join(kept), pieces=tuple(pieces))


def _piece(line: Line, at: int, column: int, stop: int) -> Piece:
    return Piece(at, line.number, column, line.start + column, stop - column)
