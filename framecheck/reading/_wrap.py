"""Rows that a screen's width broke: what is copied from it has a line end at its last column.

A line as long as a screen is wide is held back until the next one says whether it goes on: only
when the two make a better row than the first one alone, and the second is no row of its own.
"""

from __future__ import annotations

import re
from collections import deque
from collections.abc import Iterator

from framecheck.reading._facts import facts
from framecheck.reading._lines import LONGEST, Line, put_together
from framecheck.reading._parse import MAYBE, readings
from framecheck.reading._reading import Reading
from framecheck.reading._shape import Shape
from framecheck.reading._track import ETHERTYPES, SHORTEST
from framecheck.reading._uneven import UNEVEN
from framecheck.reading._wanted import wanted

SCREENS = frozenset((40, 80, 100, 120, 132, 160))
"""Columns of usual screens (common practice, no source)."""
_CELLS = re.compile(r"[0-9A-Fa-fxX\s:,;./|\-\[\](){}<>]+").fullmatch
_BRACKETS = {"]": "[", ")": "(", "}": "{", ">": "<"}
_NEAR = 8
"""Lines before one that tell how wide its screen is at least."""
_FEWEST = 4
"""Octets that the first piece of a broken row holds."""
_MOST_READ = 4
"""Pieces up to which the whole row is read again at each; later ones have to be octets only."""


_STRING = re.compile(r"[^0-9A-Za-z]([0-9A-Fa-f]{28,})$")
"""A long string of digits behind a word, up to the line's end."""
_DIGITS = re.compile(r"[0-9A-Fa-f]+").fullmatch
_SOFT = re.compile(r"(?<![0-9A-Za-z_])[0-9A-Fa-f]{2,4}[ ,:]{0,2}=$")


def may_break(text: str) -> bool:
    """Whether a screen or a mail may have broken the row that a line begins."""
    if len(text) in SCREENS or (text[-1:] == "=" and is_soft(text)):
        return True
    return text[-28:].isalnum() and _STRING.search(text) is not None


def is_soft(text: str) -> bool:
    """Whether a line of octets ends softly, as a mail's long lines do (RFC 2045 6.7)."""
    return _SOFT.search(text[-8:]) is not None


class Unwrapper:
    """Lines in, lines out: those that a screen broke are whole again."""

    def __init__(self) -> None:
        self.held: list[Line] = []
        self._shapes: list[tuple[Shape, int | None]] = []
        """What the line held may be a row of, and the offset that it would have."""
        self._best: Reading | None = None
        self._alone: Reading | None = None
        self._soft = False
        """Whether the last line ends softly."""
        self._string = ""
        """The digits so far, where a string of them is broken at a width of any kind."""
        self.seen: deque[int] = deque(maxlen=_NEAR)
        """Lengths of the lines just before, also of those that were not fed."""

    def feed(self, line: Line) -> Iterator[Line]:
        """The lines that this one makes whole."""
        if not self.held:
            if not (line.ended and self._begins(line)):
                yield line
            self.seen.append(len(line.text))
            return
        if self._soft:
            yield from self._behind_soft(line)
            return
        width = len(self.held[0].text)
        if self._goes_on(line, width):
            self.held.append(line)
            ends = len(line.text) < width or not line.ended or self._complete()
            if ends or len(self.held) * width > LONGEST:
                yield self._whole()
            return
        yield self._whole()
        yield from self.feed(line)

    def _behind_soft(self, line: Line) -> Iterator[Line]:
        """The lines that one behind a soft end makes whole."""
        text = line.text
        self._soft = text[-1:] == "=" and is_soft(text)
        cells = text[:-1] if self._soft else text
        if cells and not cells.isspace() and _CELLS(cells):
            self.held.append(put_together(line, len(cells)) if self._soft else line)
            if not self._soft or sum(len(piece.text) for piece in self.held) > LONGEST:
                yield self._whole()
            return
        yield self._whole()
        yield from self.feed(line)

    def close(self) -> Iterator[Line]:
        """What is held when the text has ended."""
        if self.held:
            yield self._whole()

    def _begins(self, line: Line) -> bool:
        """Whether a line may go on in the next one; if so it is held."""
        if line.text[-1:] == "=" and is_soft(line.text):
            self._soft = self._holds(put_together(line, len(line.text) - 1))
            return self._soft
        width = len(line.text)
        # A screen that breaks this line would have broken a longer one too.
        if width in SCREENS and max(self.seen, default=0) <= width and self._holds(line):
            return True
        string = _STRING.search(line.text) if line.text[-28:].isalnum() else None
        if string is None:
            return False
        self._string = string[1]
        if self._complete() or len(string[1]) // 2 in facts(line.text[: string.start(1)]).claimed:
            self._string = ""
            return False
        self.held = [line]
        return True

    def _complete(self) -> bool:
        """Whether the string holds all octets that its own header asks for."""
        if not self._string:
            return False
        own = wanted(bytes.fromhex(self._string[:128][: len(self._string) & ~1]))
        return own is not None and len(self._string) // 2 >= max(own, SHORTEST)

    def _string_goes_on(self, text: str, width: int) -> bool:
        """Whether a line is more of the string: digits only, up to the same width."""
        if len(text) > width or not _DIGITS(text):
            return False
        if 28 <= len(text) < width and bytes.fromhex(text[24:28]) in ETHERTYPES:
            return False  # rather a frame of its own
        self._string += text
        return True

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
        self._shapes = [(Shape(r), _offset(r)) for r in found[:3] if r.notation not in UNEVEN]
        return True

    def _goes_on(self, line: Line, width: int) -> bool:
        text = line.text
        if self._string:
            return self._string_goes_on(text, width)
        if not text or text.isspace() or len(text) > width:
            return False
        if any(_is_row(shape, text, first) for shape, first in self._shapes):
            return False
        if self._as_long(text):
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
        ends = ends or (best.notation in UNEVEN and _closes(joined, best))
        if not ends and len(text) < width:
            return False
        more = len(best.octets) > len(alone.octets)
        if len(best.octets) == len(alone.octets) and best.notation in UNEVEN:
            more = max(best.ends) - 1 > len(joined) - len(text)  # a number has more digits
        if not more and best.gutter:
            more = alone.gutter is None or best.gutter.bits > alone.gutter.bits
        if more:
            self._best = best
        return more

    def _as_long(self, text: str) -> bool:
        """Whether a line of groups without one size has as many octets as the first: a row too."""
        best = self._best
        if best is None or best.notation not in UNEVEN or len(self.held) > 1:
            return False
        return any(
            r.notation == best.notation and len(r.octets) == len(best.octets)
            for r in readings(text)[:3]
        )

    def _own_row(self, text: str) -> bool:
        """Whether a line has an offset where the first one has: it is the next row."""
        alone = self._alone
        if alone is None or alone.offset is None:
            return False
        return any(r.offset == alone.offset and r.group == alone.group for r in readings(text))

    def _whole(self) -> Line:
        held, self.held = self.held, []
        self._shapes, self._best, self._string, self._soft = [], None, "", False
        return held[0] if len(held) == 1 else put_together(held[0], None, *held[1:])


def _closes(text: str, reading: Reading) -> bool:
    """Whether a bracket that was opened in front of the octets is closed behind them."""
    opener = _BRACKETS.get(text[reading.tail :].lstrip()[:1])
    return opener is not None and opener in text[: reading.start]


def _offset(reading: Reading) -> int | None:
    return int(reading.line[slice(*reading.offset)], 16) if reading.offset else None


def _is_row(shape: Shape, text: str, first: int | None) -> bool:
    """Whether a line is a row of its own: with an offset that goes on, or that of a new dump."""
    taken = shape.take(text, None)
    if taken is None or first is None or taken.value is None or taken.value > first:
        return taken is not None
    return len(taken.octets) == shape.per_row


def _same_start(one: Reading, other: Reading) -> bool:
    """Whether two readings begin with the same group, or with the same offset."""
    if one.offset is not None and one.offset == other.offset:
        return True
    return one.groups[0][0] in (other.groups[0][0], other.offset and other.offset[0])
