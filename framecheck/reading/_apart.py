"""Several frames on one line, each as one long string: what was sent beside what came back."""

from __future__ import annotations

import re
from collections.abc import Iterator

from framecheck.reading._lines import Line, taken_apart
from framecheck.reading._tokens import FRAME_DIGITS
from framecheck.reading._track import ETHERTYPES

_STRING = re.compile(rf"(?<![0-9A-Za-z])[0-9A-Fa-f]{{{FRAME_DIGITS},}}(?![0-9A-Za-z])")
_TYPE = slice(24, 28)
LEAST = 2 * FRAME_DIGITS + 1
"""Characters of a line that may hold two frames."""


def one_each(line: Line) -> Iterator[Line]:
    """The parts of a line that hold one frame each; the line itself where it holds no two."""
    found = [m.start() for m in _STRING.finditer(line.text) if _is_frame(m[0])]
    done = 0
    for at in found[1:] if not line.pieces else ():
        first, line = _cut(line, at - done)
        done = at
        yield first
    yield line


def _cut(line: Line, at: int) -> tuple[Line, Line]:
    """As ``taken_apart``, also of a line that is itself a part."""
    if not line.pieces:
        return taken_apart(line, at)
    (piece,) = line.pieces
    front = piece._replace(size=at)
    rest = piece._replace(column=piece.column + at, start=piece.start + at, size=piece.size - at)
    first = line._replace(text=line.text[:at], size=at, ended=False, pieces=(front,))
    size = line.size - at
    return first, line._replace(
        text=line.text[at:], start=line.start + at, size=size, pieces=(rest,)
    )


def _is_frame(digits: str) -> bool:
    return len(digits) % 2 == 0 and bytes.fromhex(digits[_TYPE]) in ETHERTYPES
