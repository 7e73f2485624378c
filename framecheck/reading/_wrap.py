"""Rows that a screen's width broke: what is copied from it has a line end at its last column.

A line as long as a screen is wide is held back until the next one says whether it goes on: only
when the two make a better row than the first one alone, and the second is no row of its own.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from framecheck.reading._lines import LONGEST, Line, put_together
from framecheck.reading._parse import MAYBE, readings
from framecheck.reading._reading import Reading
from framecheck.reading._shape import Shape
from framecheck.reading._uneven import UNEVEN

SCREENS = frozenset((40, 80, 100, 120, 132, 160))
"""Columns of usual screens (common practice, no source)."""
_CELLS = re.compile(r"[0-9A-Fa-fxX\s:,;./|\-\[\]()]+").fullmatch
_FEWEST = 4
"""Octets that the first piece of a broken row holds."""
_MOST_READ = 4
"""Pieces up to which the whole row is read again at each; later ones have to be octets only."""


class Unwrapper:
    """Lines in, lines out: those that a screen broke are whole again."""

    def __init__(self) -> None:
        self.held: list[Line] = []
        self._shapes: list[Shape] = []
        self._best: Reading | None = None
        self._alone: Reading | None = None

    def feed(self, line: Line) -> Iterator[Line]:
        """The lines that this one makes whole."""
        if not self.held:
            if len(line.text) in SCREENS and line.ended and self._holds(line):
                return
            yield line
            return
        width = len(self.held[0].text)
        if self._goes_on(line, width):
            self.held.append(line)
            if len(line.text) < width or not line.ended or len(self.held) * width > LONGEST:
                yield self._whole()
            return
        yield self._whole()
        yield from self.feed(line)

    def close(self) -> Iterator[Line]:
        """What is held when the text has ended."""
        if self.held:
            yield self._whole()

    def _holds(self, line: Line) -> bool:
        if not MAYBE.search(line.text):
            return False
        found = readings(line.text)
        if not found or len(found[0].octets) < _FEWEST:
            return False
        self.held = [line]
        self._best = found[0]
        self._alone = next((r for r in found if r.offset), None)
        # The pattern of a shape is for groups of one size.
        self._shapes = [Shape(r) for r in found[:3] if r.notation not in UNEVEN]
        return True

    def _goes_on(self, line: Line, width: int) -> bool:
        text = line.text
        if not text or text.isspace() or len(text) > width:
            return False
        if any(shape.take(text, None) for shape in self._shapes):
            return False
        if len(self.held) >= _MOST_READ:
            return bool(_CELLS(text))
        if len(text) == width and self._own_row(text):
            return False
        joined = "".join([piece.text for piece in self.held]) + text
        found = readings(joined)
        if not found:
            return False
        best, alone = found[0], self._best
        if alone is None or not _same_start(best, alone):
            return False
        ends = best.gutter or best.running is not None or not joined[best.tail :].strip(" \t,;:|")
        if not ends and len(text) < width:
            return False
        more = len(best.octets) > len(alone.octets)
        if not more and best.gutter:
            more = alone.gutter is None or best.gutter.bits > alone.gutter.bits
        if more:
            self._best = best
        return more

    def _own_row(self, text: str) -> bool:
        """Whether a line has an offset where the first one has: it is the next row."""
        alone = self._alone
        if alone is None or alone.offset is None:
            return False
        return any(r.offset == alone.offset and r.group == alone.group for r in readings(text))

    def _whole(self) -> Line:
        held, self.held = self.held, []
        self._shapes, self._best = [], None
        return held[0] if len(held) == 1 else put_together(held[0], None, *held[1:])


def _same_start(one: Reading, other: Reading) -> bool:
    """Whether two readings begin with the same group, or with the same offset."""
    if one.offset is not None and one.offset == other.offset:
        return True
    return one.groups[0][0] in (other.groups[0][0], other.offset and other.offset[0])
