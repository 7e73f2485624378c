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
from framecheck.core.span import Range
from framecheck.reading._facts import Facts, facts
from framecheck.reading._lines import Line
from framecheck.reading._reading import Reading
from framecheck.reading._shape import Shape, Taken
from framecheck.reading._track import ETHERTYPES, SHORTEST, STRONG, Track
from framecheck.reading._wanted import wanted

Content = Callable[[bytes], float]
_LONGEST = 6000
"""Characters of a line that may begin a block: the longest frame at three each, and room."""
MOST_LINES = 70_000
"""Lines that a block holds at most: the longest frame at one octet a line, and room."""


_LOOKED = 160
_SHOWN = re.compile(
    r"(?<=['\"])[0-9](?=['\"])|(?<![^\s'\"|(<\[])[^0-9](?=['\"|)>\]]?(?:\s|$))|\s+"
    r"|(?<![0-9A-Za-z])(?P<number>(?:0[xX])?[0-9A-Fa-f]+[hH]?)(?![0-9A-Za-z])"
)
"""A character that stands alone, a number, blanks."""


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
    """What is not sure, unless the announced length is there."""
    lead: str = ""
    """Words in front of the octets, for length and direction."""
    doubtful: tuple[Range, ...] = ()
    """Octets that the console may have broken; then the doubts stay, whatever the length."""
    open: bool = False
    """Whether a row of any number of octets may follow the last one."""
    word: int = 0
    """Octets that are printed as one number; 0 where the form does not say."""
    settled: bool = False
    """Whether the dump itself settles its doubts: they are said, whatever the length."""


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


def opens(text: str) -> bool:
    """Whether a line without digits may open a list of octets."""
    return text.rstrip()[-1:] in ("{", "[", "(", "/")


class _Rivals:
    """Blocks of several forms that begin on one line; which of them it is, later lines say."""

    def __init__(self, line: Line, blocks: list[Block]) -> None:
        self.held = [line]
        self.blocks = blocks
        self.going = blocks

    @property
    def lines(self) -> list[Line]:
        """All lines that any of them holds."""
        return self.held

    def take(self, line: Line) -> bool:
        """Whether the line goes on with any of them."""
        going = [block for block in self.going if block.take(line)]
        if going:
            self.going = going
            self.held.append(line)
        return bool(going)

    def found(self) -> Sequence[Found]:
        """What that one found which found the most."""
        found = [block.found() for block in self.blocks]
        return max(found, key=_octets, default=())


def _octets(found: Sequence[Found]) -> int:
    return sum(len(row.octets) for dump in found for row in dump.rows)


def block_at(line: Line, content: Content | None) -> Block | None:
    """The block that a line begins, if it begins one."""
    text = line.text
    if len(text) > _LONGEST:
        return None
    begun = [form.begin(line, content) for form, search in forms() if search(text)]
    blocks = [block for block in begun if block is not None]
    return _Rivals(line, blocks) if len(blocks) > 1 else blocks[0] if blocks else None


def begins_anew(content: Content | None, before: bytes, row: bytes) -> bool:
    """Whether a row begins the next frame: it looks like one's head, behind what is one."""
    if content is None or row[12:14] not in ETHERTYPES or len(before) < 14:
        return False
    return content(row) >= STRONG and content(before) >= STRONG


def begins_row(line: Line, rows: Sequence[Line]) -> bool:
    """Whether the log may end in the first characters of one more row like the last one."""
    return not line.ended and bool(rows) and len(line.text) < len(rows[-1].text)


def _by_line(rows: Sequence[Cells]) -> list[Cells]:
    """The rows, those of one line as one."""
    joined: list[Cells] = []
    for row in rows:
        if joined and joined[-1].line is row.line:
            octets, columns, ends = joined.pop()[1:]
            row = Cells(row.line, octets + row.octets, columns + row.columns, ends + row.ends)
        joined.append(row)
    return joined


def said_behind(about: Facts, found: Found, behind: str) -> Facts:
    """What is said of a dump of words, and the length that the line behind it gives its last."""
    if about.claimed or found.word < 2:
        return about
    total = sum(len(row.octets) for row in found.rows)
    claimed = [n for n in facts(behind).claimed if 0 <= total - n < found.word]
    return about._replace(claimed=tuple(claimed)) if claimed else about


def part_word(octets: bytes, own: int | None, word: int, line: int) -> tuple[Doubt, ...]:
    """That the last word may hold less than it prints, where neither a length nor padding says."""
    total = len(octets)
    short = own is not None and word > 1 and own < total and not any(octets[-1:])
    if not short or not (total < SHORTEST or SHORTEST < total < SHORTEST + word):
        return ()
    other = "fewer: the rest of the last word"
    return (Doubt("where the dump ends", f"behind {total} octets", other, False, line),)


def torn_off(found: Found, front: str, behind: str, content: Content | None) -> Found:
    """Octets one a line, doubted where they may go on in lines that look like theirs.

    ``front``, ``behind``: the lines right before and behind the rows. Only what begins as no frame
    may begin further up; only that or what lacks octets by its own length may go on.
    """
    first, last = found.rows[0].line, found.rows[-1].line
    if len(found.rows) < 2 or any(len(row.octets) > 1 for row in found.rows) or content is None:
        return found
    octets = b"".join([row.octets for row in found.rows])
    # A datagram without a link header may be the rest of a frame with one.
    begins = content(octets) >= STRONG and octets[12:14] in ETHERTYPES
    if begins and (wanted(octets) or 0) <= len(octets):
        return found
    doubts = list(found.doubts)
    if not begins and look(front) == look(first.text):
        other = "further up: the line in front looks the same"
        doubts.append(
            Doubt("where the dump starts", "at its first line", other, True, first.number)
        )
    if look(behind) == look(last.text):
        other = "further on: the next line looks the same"
        doubts.append(
            Doubt("where the dump ends", "before this line", other, True, last.number + 1)
        )
    return found._replace(doubts=tuple(doubts))


def look(text: str) -> str:
    """A line without blanks and a character that stands alone, with one zero for each number."""
    return _SHOWN.sub(lambda m: "0" if m["number"] else "", text[:_LOOKED])


def track_of(found: Found, about: Facts, content: Content | None) -> Track:
    """The dump in the making that these rows are."""
    rows = _by_line(found.rows)
    first = rows[0]
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
    track = Track(Shape(reading), about, content)
    track.shape.per_row = max(len(row.octets) for row in rows)
    track.text = first.line.text
    track.block = True
    track.proof = found.proof
    track.word = found.word
    for row in rows:
        before = track.digits
        track.add(Taken(None, row.octets, row.columns, row.ends, None, False), row.line)
        if not row.line.pieces:
            # Octets that stand at one character, as those of a mark do, are its digits once.
            places = set(zip(row.columns, row.ends, strict=True))
            track.digits = before + sum(e - c for c, e in places)
    track.full = track.full or found.open
    if found.doubtful or found.settled or not track.claimed_reached:
        track.doubts.extend(found.doubts)
        track.doubtful.extend(found.doubtful)
    return track
