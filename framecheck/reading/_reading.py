"""One way to read one line: which characters are octets, offset, gutter, prefix.

The words are those of the layout: ``[prefix][offset][groups of octets][gutter or count]``.
"""

from __future__ import annotations

from typing import NamedTuple

Stretch = tuple[int, int]
"""A half-open range of characters of a line, counted from 0."""


class Gutter(NamedTuple):
    """A character column beside the octets, and what it says of them."""

    opening: str
    """Blanks and bar between a full row's octets and the characters."""
    closing: str
    gaps: tuple[int, ...]
    """Numbers of characters after which a blank stands that is no character."""
    other: str
    """What stands for an octet that has no printable character; empty when nothing says it."""
    wrong: tuple[int, ...]
    """Octets of the row whose character says something else."""
    bits: float
    """Evidence that these characters are those of the octets."""


class Reading(NamedTuple):
    """One way to read one line."""

    line: str
    notation: str
    group: int
    """Octets of a full group; 0 when the groups differ."""
    groups: tuple[Stretch, ...]
    octets: bytes
    """In the order of the frame."""
    columns: tuple[int, ...]
    ends: tuple[int, ...]
    offset: Stretch | None = None
    upto: int | None = None
    """The last offset of the row, where the row says from and to."""
    gutter: Gutter | None = None
    running: int | None = None
    """A running count of octets that stands behind the row."""
    little: bool = False
    """Whether each group prints its last octet first."""
    tail: int = 0
    """Where the text behind octets begins (gutter included)."""
    dropped: tuple[int, ...] = ()
    """Characters that look like digits of octets and were left out."""
    left: Stretch | None = None
    """A gutter that stands in front of the octets."""
    summed: bool = False
    """Whether a group that stands apart behind the octets was taken for their sum."""

    @property
    def start(self) -> int:
        """Where the octets begin."""
        return self.groups[0][0]

    @property
    def stop(self) -> int:
        """Where the octets end."""
        return self.groups[-1][1]

    @property
    def lead(self) -> str:
        """What stands in front of offset and octets."""
        return self.line[: self.offset[0] if self.offset else self.start]
