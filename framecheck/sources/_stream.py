"""A binary stream that can be looked into, counted, and never asked for more than a bound.

A length read from a hostile file must not become an allocation: every read here is in pieces.
"""

from __future__ import annotations

from typing import BinaryIO

PIECE = 1 << 18
"""Octets read at once."""


class Stream:
    """Octets of a file or pipe, with the offset reached."""

    __slots__ = ("_ahead", "_ended", "_file", "_taken", "at")

    def __init__(self, file: BinaryIO) -> None:
        self._file = file
        self._ahead = b""
        self._taken = 0
        """Octets of ``_ahead`` that were handed out: it is cut only when it is read on."""
        self._ended = False
        self.at = 0
        """Octets handed out so far."""

    def peek(self, count: int) -> bytes:
        """The next ``count`` octets (fewer at the end), which stay to be read."""
        while len(self._ahead) - self._taken < count:
            more = self._more()
            if not more:
                break
            self._ahead = self._ahead[self._taken :] + more
            self._taken = 0
        return self._ahead[self._taken : self._taken + count]

    def glance(self, least: int) -> bytes:
        """What is there to look at without waiting for more than ``least`` octets; it stays."""
        self.peek(least)
        return self._ahead[self._taken :]

    def piece(self) -> bytes:
        """What comes next, up to 256 KiB, as soon as there is any; empty at the end."""
        taken = self._ahead[self._taken :] or self._more()
        self._ahead, self._taken = b"", 0
        self.at += len(taken)
        return taken

    def exactly(self, count: int) -> bytes:
        """``count`` octets, fewer only at the end. The caller has bounded ``count``."""
        taken = self.peek(count)
        self._taken += len(taken)
        self.at += len(taken)
        return taken

    def skip(self, count: int) -> int:
        """Pass over ``count`` octets, however many, without holding them; returns how many."""
        left = count
        while left:
            passed = len(self.exactly(min(left, PIECE)))
            if not passed:
                break
            left -= passed
        return count - left

    def close(self) -> None:
        """Close the file; standard input too, which nobody reads after us."""
        self._file.close()

    def _more(self) -> bytes:
        if self._ended:
            return b""  # a terminal would be asked for its end again
        # read1 hands over what a pipe holds now, instead of waiting for a full piece.
        read = getattr(self._file, "read1", None) or self._file.read
        more: bytes = read(PIECE)
        self._ended = not more
        return more
