"""Blocks: lines that are read together, because one alone does not say which characters are octets.

A form begins a block on a line that bears its sign; the block takes lines as long as they go on,
and then says what it found. Lines behind what it found are read anew, one by one.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import cache
from typing import NamedTuple, Protocol

from framecheck.core.frame import Doubt
from framecheck.core.shelf import shelf
from framecheck.reading._facts import Facts
from framecheck.reading._lines import Line
from framecheck.reading._reading import Reading
from framecheck.reading._shape import Shape, Taken
from framecheck.reading._track import Track

Content = Callable[[bytes], float]
MOST_LINES = 70_000
"""Lines that a block holds at most: the longest frame at one octet a line, and room."""


class Cells(NamedTuple):
    """The octets that one line prints; columns are counted from 1."""

    line: Line
    octets: bytes
    columns: tuple[int, ...]
    ends: tuple[int, ...]


class Found(NamedTuple):
    """One dump that a block holds."""

    rows: tuple[Cells, ...]
    words: str
    """How its octets are written, for ``layout``."""
    proof: float
    """Evidence of the text in bits: counts that progress, columns that agree."""
    doubts: tuple[Doubt, ...] = ()
    lead: str = ""
    """Words in front of the octets, for length and direction."""


class Block(Protocol):
    """Lines held back."""

    def take(self, line: Line) -> bool:
        """Whether the line goes on with the block; if so it is held."""
        ...

    @property
    def lines(self) -> list[Line]:
        """All lines that are held."""
        ...

    def found(self) -> Sequence[Found]:
        """The dumps of the block, in the order of the log; empty when there is none."""
        ...


class Form(NamedTuple):
    """A layout of a block."""

    name: str
    sign: str
    """A pattern without which no line begins such a block."""
    begin: Callable[[Line, Content | None], Block | None]
    example: str
    """A log in this layout, for tests: the octets 02 00 5e 10 00 01 02 00 5e 10 00 02 08 06."""


@cache
def forms() -> tuple[tuple[Form, Callable[[str], object]], ...]:
    """All forms of the shelf, with the search for their signs."""
    found = shelf("framecheck.reading.blocks", Form)
    return tuple((form, re.compile(form.sign).search) for form in found)


@cache
def signs() -> Callable[[str], object]:
    """A search for any form's sign: the cheap look."""
    return re.compile("|".join(f"(?:{form.sign})" for form, _ in forms())).search


def block_at(line: Line, content: Content | None) -> Block | None:
    """The block that a line begins, if it begins one."""
    if len(line.text) > 4096 or not signs()(line.text):
        return None
    for form, search in forms():
        if search(line.text):
            block = form.begin(line, content)
            if block is not None:
                return block
    return None


def track_of(found: Found, facts: Facts, content: Content | None) -> Track:
    """The dump in the making that these rows are."""
    first = found.rows[0]
    spans = tuple([(c - 1, e - 1) for c, e in zip(first.columns, first.ends, strict=True)])
    ordered = tuple(sorted(set(spans)))
    reading = Reading(
        first.line.text,
        found.words,
        1,
        ordered[:64],
        first.octets,
        first.columns,
        first.ends,
        tail=ordered[-1][1],
    )
    track = Track(Shape(reading), facts, content)
    track.shape.per_row = max(len(row.octets) for row in found.rows)
    track.text = first.line.text
    track.block = True
    track.proof = found.proof
    for row in found.rows:
        before = track.digits
        track.add(Taken(None, row.octets, row.columns, row.ends, None, False), row.line)
        track.digits = before + sum(e - c for c, e in zip(row.columns, row.ends, strict=True))
    track.doubts.extend(found.doubts)
    return track
