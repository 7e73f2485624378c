"""Lines out of pieces of text: LF, CRLF, lone CR, wherever the pieces were cut.

A line keeps at most ``LONGEST`` characters; what stands behind them is counted, not kept, so
that an input which is one endless line costs no more memory than an ordinary one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from framecheck.core.frame import Doubt

LONGEST = 1 << 20
"""Characters of a line that are looked at: 65,551 octets at fifteen characters each, and room."""


class Piece(NamedTuple):
    """A stretch of the log's text in a line that was put together from several."""

    at: int
    """Where it begins in the line's text."""
    number: int
    """The line of the log that it stands in."""
    column: int
    """Characters in front of it in that line."""
    start: int
    """Its first character, counted from the start of the text."""
    size: int
    """Characters, with a line's end where one belongs to it."""


class Line(NamedTuple):
    """One line of the log, without its end."""

    text: str
    number: int
    """Counted from 1."""
    start: int
    """First character, counted from the start of the text."""
    size: int
    """Characters with the line's end, also those that were not kept."""
    ended: bool = True
    """Whether a line end stands behind it; not so for the last line of a cut log."""
    pieces: tuple[Piece, ...] = ()
    """Where its text stands, when it is not one whole line of the log."""


def longer(line: Line) -> Doubt:
    """What is said of a line that is longer than what is looked at."""
    return Doubt(
        "length of a line",
        f"its first {LONGEST} characters; the rest is skipped",
        "one dump of all of it",
        True,
        line.number,
    )


def pieces_of(line: Line, stop: int | None = None) -> tuple[Piece, ...]:
    """The pieces of a line, or of its first ``stop`` characters."""
    pieces = line.pieces or (Piece(0, line.number, 0, line.start, line.size),)
    if stop is None:
        return pieces
    kept = [p for p in pieces if p.at < stop]
    if not kept:
        return ()
    last = kept[-1]
    return (*kept[:-1], last._replace(size=min(last.size, stop - last.at)))


def put_together(first: Line, stop: int | None, *others: Line) -> Line:
    """One line of the first ``stop`` characters of one (None: all of it) and later ones."""
    pieces = list(pieces_of(first, stop))
    texts = [first.text if stop is None else first.text[:stop]]
    at = len(texts[0])
    for line in others:
        pieces += [p._replace(at=p.at + at) for p in pieces_of(line)]
        texts.append(line.text)
        at += len(line.text)
    size = sum(p.size for p in pieces)
    ended = others[-1].ended if others else first.ended
    return Line("".join(texts), first.number, first.start, size, ended, tuple(pieces))


def taken_apart(line: Line, at: int) -> tuple[Line, Line]:
    """The two lines that stand in one whole line of the log."""
    first = Line(line.text[:at], line.number, line.start, at)
    piece = Piece(0, line.number, at, line.start + at, line.size - at)
    second = Line(
        line.text[at:], line.number, line.start + at, line.size - at, line.ended, (piece,)
    )
    return first, second


Quick = Callable[[list[str], int, int, int, int], tuple[int, int]]
"""Takes lines of a list from an index on, given the number of the line in front, where the next
one begins in the log, and the size of a line's end: the index and the start of the next one."""
_new = tuple.__new__


class Lines:
    """Splits fed text into lines; holds back what is not yet a whole line."""

    __slots__ = ("_held", "_held_size", "_kept", "_return", "characters", "number")

    def __init__(self) -> None:
        self._held: list[str] = []
        self._held_size = 0
        self._kept = 0
        self._return = False
        self.number = 0
        self.characters = 0
        """Characters of the lines that were given out."""

    def feed(self, text: str, quick: Quick | None = None) -> Iterator[Line]:
        """The lines that this piece makes whole, but for those that ``quick`` takes."""
        if self._return and text:
            # A CR ended the piece before: an LF here belongs to it.
            self._return = False
            if text[0] == "\n":
                yield self._flush(2)
                text = text[1:]
            else:
                yield self._flush(1)
        mark = "\n"
        if "\r" in text:
            mark = "\r\n"
            if not text.count("\r") == text.count("\n") == text.count(mark):
                yield from self._with_returns(text)
                return
        parts = text.split(mark)
        tail = parts.pop()
        if parts:
            end, i = len(mark), 0
            if self._held:
                self._hold(parts[0])
                yield self._flush(end)
                i = 1
            number, start = self.number, self.characters
            while i < len(parts):
                if quick is not None:
                    before = i
                    i, start = quick(parts, i, number, start, end)
                    number += i - before
                    self.number, self.characters = number, start
                    if i == len(parts):
                        break
                part = parts[i]
                i += 1
                number += 1
                size = len(part) + end
                self.number, self.characters = number, start + size
                kept = part if size <= LONGEST else part[:LONGEST]
                # Past the tuple's own constructor: this is made for every line there is.
                yield _new(Line, (kept, number, start, size, True, ()))
                start += size
        if tail:
            self._hold(tail)

    def _with_returns(self, text: str) -> Iterator[Line]:
        parts = text.split("\n")
        tail = parts.pop()
        for part in parts:
            if part.endswith("\r"):
                end, part = 2, part[:-1]
            else:
                end = 1
            if "\r" in part:
                *whole, part = part.split("\r")
                for piece in whole:
                    self._hold(piece)
                    yield self._flush(1)
            self._hold(part)
            yield self._flush(end)
        if tail.endswith("\r"):
            # Whether an LF follows, the next piece says.
            self._return, tail = True, tail[:-1]
        if "\r" in tail:
            *whole, tail = tail.split("\r")
            for piece in whole:
                self._hold(piece)
                yield self._flush(1)
        self._hold(tail)

    def close(self) -> Iterator[Line]:
        """The last line, if one is left."""
        if self._return:
            self._return = False
            yield self._flush(1)
        elif self._held:
            yield self._flush(0)

    def _hold(self, piece: str) -> None:
        if not piece:
            return
        self._held_size += len(piece)
        room = LONGEST - self._kept
        if room > 0:
            self._held.append(piece[:room])
            self._kept += min(room, len(piece))

    def _flush(self, end: int) -> Line:
        text = "".join(self._held)
        self.number += 1
        line = Line(text, self.number, self.characters, self._held_size + end, end > 0)
        self.characters += line.size
        self._held.clear()
        self._held_size = self._kept = 0
        return line
