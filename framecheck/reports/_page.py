"""Plain text on a page of so many columns: widths, wrapping, and the three kinds of ink."""

from __future__ import annotations

from collections.abc import Iterator
from unicodedata import combining, east_asian_width

from framecheck.core.quote import quote

INDENT = " " * 10
"""Where the text of a frame begins; labels stand in front of it."""


class Ink:
    """Bold for the answer, one accent for what is wrong, dim for framing; or nothing at all."""

    __slots__ = ("_on",)

    def __init__(self, on: bool) -> None:
        self._on = on

    def bold(self, text: str) -> str:
        """The answer."""
        return self._put("1", text)

    def accent(self, text: str) -> str:
        """What is wrong."""
        return self._put("1;31", text)

    def dim(self, text: str) -> str:
        """What only frames the rest."""
        return self._put("2", text)

    def _put(self, code: str, text: str) -> str:
        return f"\x1b[{code}m{text}\x1b[0m" if self._on and text.strip() else text


def safe(text: str, limit: int = 400) -> str:
    """Text that may hold characters of a log, on one line and harmless."""
    return quote(text, limit)


def columns(text: str) -> int:
    """Columns that a text takes on a terminal: wide characters take two, combining ones none."""
    if text.isascii():
        return len(text)
    return sum(0 if combining(c) else 2 if east_asian_width(c) in "WF" else 1 for c in text)


def wrap(text: str, width: int, first: str = "", rest: str | None = None) -> Iterator[str]:
    """Lines of at most ``width`` columns; ``first`` begins the first one, ``rest`` the others.

    Words longer than a line are broken: nothing is cut off.
    """
    rest = " " * columns(first) if rest is None else rest
    room = max(8, width - columns(rest))
    line, used = first, columns(first)
    empty = True
    for word in _words(text, min(room, max(8, width - used))):
        size = columns(word)
        if not empty and used + 1 + size > width:
            yield line
            line, used, empty = rest, columns(rest), True
        line += word if empty else f" {word}"
        used += size + (not empty)
        empty = False
    yield line.rstrip()


def _words(text: str, room: int) -> Iterator[str]:
    for word in text.split():
        while columns(word) > room:
            at = max(1, next(n for n in range(room, 0, -1) if columns(word[:n]) <= room))
            yield word[:at]
            word = word[at:]
        if word:
            yield word
