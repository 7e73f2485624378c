"""A dump in the making: rows that follow one another in one shape, as they should."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import NamedTuple

from framecheck.core.frame import BROKEN_DIGITS, WRAPPED, Doubt
from framecheck.core.span import Range
from framecheck.core.text import Row
from framecheck.reading._facts import Facts
from framecheck.reading._late import late_row
from framecheck.reading._lines import Line
from framecheck.reading._odd import Noted, glued, glued_in_front, habit, odd_digits, odd_gap
from framecheck.reading._offsets import second, third
from framecheck.reading._printed import Printed, placed
from framecheck.reading._reading import Gutter, Reading
from framecheck.reading._scraps import are_numbers
from framecheck.reading._shape import Shape, Taken, turned
from framecheck.reading._uneven import UNEVEN, UNPADDED
from framecheck.reading._wanted import wanted

Content = Callable[[bytes], float]
_GROUPS = re.compile(r"(?<![0-9A-Za-z_])(?:0[xX])?((?:[0-9A-Fa-f]{2}){1,8})(?![0-9A-Za-z_])")

_PAIRS = re.compile(r"(?<![0-9A-Za-z_])[0-9A-Fa-f]{2}(?![0-9A-Za-z_])")
_ALL_DIGITS = re.compile(r"[0-9A-Fa-fxX\s,]*").fullmatch
_NEAR_BEHIND = 200
MOST_OCTETS = 65_535 + 512
"""Octets of a dump: the longest IPv4 datagram, its link header, and what a driver adds."""
WIDTHS = (4, 8, 10, 12, 16, 20, 24, 32, 40, 48, 64)
"""Octets that a row of a dump of several rows has; other lines stand for themselves."""
SHORTEST = 60
"""Octets of a frame without FCS that has to be padded (IEEE 802.3 3.2.7, from memory)."""
_FCS = 4
STRONG = 8.0
"""Bits of content from which a row begins a frame."""
ETHERTYPES = (b"\x08\x00", b"\x08\x06", b"\x81\x00", b"\x86\xdd", b"\x88\xa8")


def _octets_in(text: str) -> int:
    """Octets that groups of digits in a text would print."""
    return sum(len(m) for m in _GROUPS.findall(text[:1000])) // 2


class Before(NamedTuple):
    """A track's state in front of a row that may have to go again."""

    rows: int
    total: int
    digits: int
    expected: int | None
    progressed: int
    gutter_bits: float
    gutter_rows: int
    wrong: int
    doubts: int
    doubtful: int
    full: bool


class Half(NamedTuple):
    """A line that may be the first part of a row, and the dump as it was in front of it."""

    line: Line
    before: Before
    rows: int
    """Rows of the dump with what the line gave; when it has other ones, the half is stale."""


class Track:
    """Rows that belong together so far."""

    # What most dumps never change stands here: to set all of it costs more than a row.
    digits = 0
    """Characters that are digits of octets."""
    in_pieces = False
    """Whether a row may have been put together from pieces of lines."""
    total = 0
    first_value: int | None = None
    expected: int | None = None
    progressed = 0
    closed = False
    gutter: Gutter | None = None
    gutter_bits = 0.0
    gutter_rows = 0
    odd_gutter = False
    """Whether a row may have another gutter than its octets should have."""
    jumps = 0
    text = ""
    """The first row's line."""
    known = False
    """Whether a dump before had this very shape."""
    behind = False
    """Whether text that is no gutter stands behind the first row's octets."""
    letters = False
    """Whether the first row has a digit above 9."""
    loosened = 0
    """The line of a row whose offset is not parted from the octets as in the others."""
    broken_off = 0
    """The line right behind the last row, when it holds part of such a row."""
    front = 0
    """Whether digits of more stand in front of the first row (see ``glued_in_front``)."""
    rivalled = False
    """Whether another dump took a row that may as well be the next one of this one."""
    skipped = 0
    """A line between the rows that holds part of one."""
    torn = False
    """Whether the line right in front holds part of a row like these."""
    usual_end: str | None = None
    """The blanks behind the last row of a dump before, where that one was short."""
    usual_mark: str | None = None
    """The mark behind that row's last octet."""
    counts_more = False
    """Whether its length counts an FCS that is not printed, as no dump before says is usual."""
    at_top = False
    """Whether nothing stands in front of it in the log."""
    odd_lead = False
    """Whether what stands in front of its octets stands in front of no other dump's."""
    new_lead = False
    """Whether no dump in front of it has the like of what stands in front of its octets."""
    title = ""
    """The letters of the line in front, where its own rows have none there."""
    fields = False
    """Whether lines in front print fields of a link header."""
    scrap = b""
    """The octets that such a line begins with."""
    tail = 0
    """Characters behind the first row's octets."""
    pairs_behind = 0
    """Pairs of digits behind the first row's octets that stand alone."""
    digits_behind = False
    """Whether nothing but digits and what parts them stands there."""
    close = False
    """Whether another dump's last row stands right in front."""
    behind_broken = False
    """Whether rows of which some may be lost, or not its own, stand just in front."""
    glued = 0
    """Whether what stands behind the first row touches digits (see ``glued``)."""
    apart: Noted | None = None
    """A wider separator where a printer may set the fields of a link header apart."""
    broken = 0
    blanks = 0
    chatter = 0
    over = False
    """Whether a line of chatter ended it, while another reading of its row still waits."""
    ended = True
    full = True
    lanes = False
    """Whether the last row says that rows end with their first octet."""
    block = False
    """Whether several lines together said which characters are octets."""
    word = 0
    """Octets of a number that such a block prints, where its form says so."""
    proof = 0.0
    """Evidence of such a block, in bits."""
    marker: Line | None = None
    """A line behind the last row that may stand for more of its kind."""
    spaced = False
    """Whether a blank line stands behind every row so far."""
    length = 0
    """Characters of the last full row's line."""
    half: Half | None = None
    """A line that may be the first part of a row."""

    def __init__(self, shape: Shape, facts: Facts, content: Content | None = None) -> None:
        self.shape = shape
        self.content = content
        self.facts = facts
        self.rows: list[Row] = []
        self.lines: list[Printed] = []
        """For each row: where it stands."""
        self.parts: list[bytes] = []
        self.texts: list[str] = []
        """For each row: the line that its columns count in."""
        self.wrong: list[int] = []
        self.doubts: list[Doubt] = []
        self.doubtful: list[Range] = []

    def begin(self, reading: Reading, line: Line) -> None:
        """The first row, as the general look read it."""
        value = None
        self.text = line.text
        self.behind = not reading.gutter and any(
            c.isalnum() for c in reading.line[reading.tail :][:200]
        )
        if reading.running is not None:
            self.behind = False
        if self.behind and _octets_in(reading.line[reading.tail :]) >= max(
            4, self.shape.per_row // 2
        ):
            self.doubts.append(
                Doubt(
                    "where the row ends",
                    f"behind {len(reading.octets)} octets",
                    "further on: two rows that run together",
                    True,
                    line.number,
                )
            )
        if reading.offset:
            value = int(reading.line[reading.offset[0] : reading.offset[1]], 16)
        taken = Taken(
            value,
            reading.octets,
            reading.columns,
            reading.ends,
            reading.gutter,
            reading.gutter is not None,
        )
        self.add(taken, line, len(reading.dropped))
        self.glued = glued(reading)
        self.front = glued_in_front(reading)
        self.tail = len(reading.line.rstrip()) - reading.tail
        if self.behind:
            behind = reading.line[reading.tail :][:_NEAR_BEHIND]
            self.pairs_behind = len(_PAIRS.findall(behind))
            self.digits_behind = _ALL_DIGITS(behind) is not None
        gap = odd_gap(reading, line.number)
        if habit(gap):
            self.apart = gap
        else:
            self.note(gap)
        if reading.notation == UNPADDED:
            self.note(odd_digits(reading, line.number))
        if reading.notation in UNEVEN:
            self.digits = sum(b - a for a, b in zip(reading.columns, reading.ends, strict=True))

    def note(self, found: Noted | None) -> None:
        """A doubt, and the octets that it makes doubtful."""
        if found:
            self.doubts.append(found[0])
            self.doubtful.extend(found[1])

    def add(self, taken: Taken, line: Line, dropped: int = 0, *, wrapped: bool = True) -> None:
        """One more row; ``wrapped``: what a row of several pieces is said to be."""
        n = len(taken.octets)
        self.digits += 2 * n
        self.rows.append(Row(line.number, self.total, taken.columns, taken.ends))
        where = Printed(line.start, line.size, dropped, line.pieces)
        self.lines.append(where)
        self.parts.append(taken.octets)
        self.texts.append(line.text)
        if line.pieces:
            self.in_pieces = True
            self.digits -= 2 * n
            self._in_pieces(where, wrapped)
        if not self.letters:
            self.letters = not taken.octets.hex().isdigit()
        gutter = taken.gutter
        if gutter is not self.shape.gutter:
            self.odd_gutter = True
        if gutter is not None:
            self.gutter_rows += 1
            self.gutter_bits += gutter.bits
            if gutter.wrong:
                self._gutter_differs(gutter, line.number)
        if taken.value is not None:
            if self.first_value is None:
                self.first_value = taken.value
            self.expected = taken.value + n // self.shape.unit
        self.total += n
        self.full = n == self.shape.per_row
        if self.full:
            self.length = len(line.text)
        self.half = self.marker = None
        if self.broken_off and not self.shape.offset:
            self.skipped = self.broken_off
        self.blanks = self.chatter = self.broken_off = 0
        self.ended = line.ended

    def _in_pieces(self, where: Printed, wrapped: bool) -> None:
        """Count the digits of a row that stands in several places, and say what was joined."""
        for row, _ in placed(self.rows[-1], where):
            pairs = {*zip(row.columns, row.ends, strict=True)}
            self.digits += sum(b - a for a, b in pairs)
            for k, (a, b) in enumerate(zip(row.columns, row.ends, strict=True)):
                if b - a < 2:
                    self.doubtful.append((row.first + k, row.first + k + 1))
                    self._parted_digits(where)
        lines = {piece.number for piece in where.pieces}
        if wrapped and len(lines) > 1 and all(d.about != WRAPPED for d in self.doubts):
            self.doubts.append(
                Doubt(
                    WRAPPED,
                    "one row, from the lines that a screen's width made of it",
                    "rows of their own",
                    False,
                    where.pieces[0].number,
                )
            )

    def _parted_digits(self, where: Printed) -> None:
        """Say that something stands between the digits of an octet, on one line."""
        number = where.pieces[0].number
        if number == where.pieces[-1].number and all(d.line != number for d in self.doubts):
            self.doubts.append(
                Doubt(
                    BROKEN_DIGITS,
                    "digits with a terminal's sequence between them",
                    "digits of two octets, or of one that lost its other digit",
                    True,
                    number,
                )
            )

    def _gutter_differs(self, gutter: Gutter, number: int) -> None:
        self.wrong.extend(self.total + k for k in gutter.wrong)
        self.doubtful.extend((self.total + k, self.total + k + 1) for k in gutter.wrong)
        self.doubts.append(
            Doubt(
                "gutter against octets",
                "the octets as printed",
                "the characters beside them, where the two differ",
                True,
                number,
            )
        )

    def take(self, line: Line) -> bool:
        """Whether the line is this dump's next row; if so it is added."""
        shape = self.shape
        if self.over:
            return False
        if shape.offset:
            if len(self.rows) == 1 and not self.progressed:
                taken = second(self, line.text)
            else:
                taken = shape.take(line.text, self.expected) or third(self, line.text)
            taken = taken or late_row(self, line.text)
            if taken is None:
                return False
        else:
            if not self.full or shape.notation in UNEVEN:
                return False
            alone = self.in_pieces or not shape.gaps or self.claimed_reached
            if alone and len(self.rows) == 1 and self.total >= SHORTEST and self.complete:
                return False  # a frame on one line
            usual = shape.per_row in WIDTHS
            if not usual and not self._may_be_rows():
                return False
            taken = shape.take(line.text, None) or late_row(self, line.text)
            if taken is None or not (usual or self._goes_on(taken)):
                return False
            few = _FCS < len(taken.octets) < shape.per_row
            if few and self.complete and are_numbers(taken.octets):
                return False  # a list of numbers behind a frame that is whole
            if self.blanks and not self._across(taken):
                return False
        short = len(taken.octets) < shape.per_row
        if short and shape.gutter and taken.gutter is None and line.ended and self.complete:
            return False  # a few numbers behind a frame that is whole
        if short and taken.gutter is not None and not taken.gutter.wrong:
            # Its characters say that the row is whole.
            short = False
        before = self.mark() if short else None
        self.add(taken, line)
        if shape.offset:
            self.progressed += 1
            if self.doubts:
                self.doubts = [d for d in self.doubts if d.about != "where the dump ends"]
        if before and not self.complete:
            self.half = Half(line, before, len(self.rows))
        if self.total >= MOST_OCTETS:
            self.closed = True
        return True

    def expects(self, text: str) -> bool:
        """Whether a line is the next row by the offset, counted as in the rows so far."""
        shape = self.shape
        return not shape.offset or shape.take(text, self.expected) is not None

    def _may_be_rows(self) -> bool:
        """Whether lines of an unusual width may be rows of one dump."""
        shape = self.shape
        if shape.group != 1 or not 5 <= shape.per_row <= 40:
            return False
        if self.facts.claimed:
            return self.total < max(self.facts.claimed)
        if shape.open:
            return True  # a list whose bracket is not closed yet
        # A line without a header's octets is no frame of its own.
        return shape.blank if shape.per_row < 14 else self.begins(self.octets)

    def _goes_on(self, taken: Taken) -> bool:
        """Whether a row of an unusual width does not rather begin a frame of its own."""
        return self.shape.per_row < 14 or not self.begins(taken.octets)

    def _across(self, taken: Taken) -> bool:
        """Whether a row without an offset goes on over the blank line before it."""
        if self.blanks > 1 or (len(self.rows) > 1 and not self.spaced) or self.content is None:
            return False
        claimed = self.claimed
        waits = claimed is not None and self.total < claimed
        if len(self.rows) == 1 and not waits and self.total >= 14 and not self.begins(self.octets):
            return False
        if not waits and self.begins(taken.octets):
            return False
        self.spaced = True
        return True

    def begins(self, octets: bytes) -> bool:
        """Whether these octets look like the beginning of a frame, in either octet order."""
        if self.content is None or len(octets) < 14:
            return False
        if self.content(octets) >= STRONG:
            return True
        size = self.shape.group
        turn = size > 1 and not self.shape.gutter
        return turn and self.content(turned(octets, size)) >= STRONG

    def printed(self) -> Iterator[tuple[Row, int]]:
        """The rows as the lines of the log hold them, each with its line's first character."""
        for row, line in zip(self.rows, self.lines, strict=True):
            yield from placed(row, line)

    def mark(self) -> Before:
        """What has to be known to go back to here."""
        return Before(
            len(self.rows),
            self.total,
            self.digits,
            self.expected,
            self.progressed,
            self.gutter_bits,
            self.gutter_rows,
            len(self.wrong),
            len(self.doubts),
            len(self.doubtful),
            self.full,
        )

    def back(self, before: Before) -> None:
        """Forget the rows that were added since."""
        n = before.rows
        del self.rows[n:], self.lines[n:], self.parts[n:], self.texts[n:]
        del self.wrong[before.wrong :], self.doubts[before.doubts :]
        del self.doubtful[before.doubtful :]
        self.total, self.digits = before.total, before.digits
        self.expected, self.progressed = before.expected, before.progressed
        self.gutter_bits, self.gutter_rows = before.gutter_bits, before.gutter_rows
        self.full = before.full
        self.half = None
        self.broken_off = self.skipped = 0

    @property
    def claimed_reached(self) -> bool:
        """Whether the announced length is there."""
        return self.total in self.facts.claimed

    @property
    def claimed(self) -> int | None:
        """The announced length; of several, the one that fits."""
        facts = self.facts
        if self.total in facts.claimed:
            return self.total
        if self.total in facts.maybe:
            head = b"".join(self.parts[:8])
            own = wanted(head)
            # No number that the frame's own length denies, or whose header ends before it says one.
            denied = bool(facts.claimed) and head[12:14] in ETHERTYPES
            if not denied if own is None else own <= self.total:
                return self.total
        if facts.claimed:
            return facts.claimed[0]
        spare = self.shape.group - 1
        own = wanted(b"".join(self.parts[:8])) if 0 < spare < 8 and facts.maybe else None
        if own is not None and 0 < self.total - own <= spare and own in facts.maybe:
            return own  # memory is printed in words: what is left of the last one is no octet
        return None

    @property
    def complete(self) -> bool:
        """Whether all is there that a line announces, or that the frame's own header states."""
        if self.claimed_reached:
            return True
        if self.facts.claimed and self.total < self.facts.claimed[0] <= MOST_OCTETS:
            return False
        head, size = b"".join(self.parts[:8]), self.shape.group
        own = wanted(head)
        if own is None and 1 < size <= 8 and not self.shape.gutter:
            own = wanted(turned(head, size))  # words that print their last octet first
        return own is not None and self.total >= max(own, SHORTEST)

    @property
    def octets(self) -> bytes:
        """All octets, in the order of the text."""
        return b"".join(self.parts)
