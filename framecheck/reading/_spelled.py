"""Tabs and line ends that are spelled out: ``\\\\t`` in an object's text, ``#012`` by a relay.

A relay of the system log writes a control character as ``#`` and three octal digits (common
practice, no source); an object's text has the escapes of RFC 8259 section 7. The columns stay.
"""

from __future__ import annotations

import re
from itertools import pairwise

from framecheck.reading._lines import Line, Piece

_DIGITS = r"(?=[ ]{0,8}(?:0[xX])?[0-9A-Fa-f]{2,16}(?![0-9A-Za-z]))"
_TAB = re.compile(rf"(?:\\t|#011)+{_DIGITS}")
_END = re.compile(r"(?:\\r|#015)?(?:\\n|#012)")
_ROW = (
    r"[ ]{0,8}(?:0[xX])?(?:[0-9A-Fa-f]{16}"
    r"|[0-9A-Fa-f]{2,16}[\])]?(?:\\t|#011|[ :|>,.\-]){1,4}(?:0[xX])?[0-9A-Fa-f]{2})"
)
"""A row has more than one group, or a long one: a word of hex letters in a text is none."""
_BEFORE_DIGITS = re.compile(_END.pattern + rf"(?:\\t|#011)*(?={_ROW})").search
_LITERAL = re.compile(r"\\(?:x[0-9A-Fa-f]{2}|u00|[0-3][0-7]{2}|0)|^[ \t(]*[bB]['\"]").search
"""What a text of octets has, or begins with; there a tab is an octet."""


def spelled(line: Line) -> tuple[Line, ...]:
    """The lines that a line spells; the line itself where it spells none in front of digits."""
    text = line.text
    if line.pieces or _LITERAL(text):
        return (line,)
    ends = [m.end() for m in _END.finditer(text)] if _BEFORE_DIGITS(text) else []
    if ends:
        text = _END.sub(_blanks, text)
    text = _TAB.sub(_blanks, text)
    if not ends:
        return (line if text == line.text else line._replace(text=text),)
    return tuple([_part(line, text, a, b) for a, b in pairwise([0, *ends, len(text)]) if a < b])


def _part(line: Line, text: str, start: int, stop: int) -> Line:
    last = stop == len(text)
    size = (line.size if last else stop) - start
    piece = Piece(0, line.number, start, line.start + start, size)
    ended = line.ended and last
    return Line(text[start:stop], line.number, line.start + start, size, ended, (piece,))


def _blanks(m: re.Match[str]) -> str:
    return " " * len(m[0])
