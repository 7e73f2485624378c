"""A dump in the making: rows that follow one another in one shape."""

from __future__ import annotations

import re
from collections.abc import Callable

from framecheck.core.frame import Doubt
from framecheck.core.span import Range
from framecheck.core.text import Row
from framecheck.reading._facts import Facts
from framecheck.reading._lines import Line
from framecheck.reading._mend import Mended, cut_row, mend
from framecheck.reading._reading import Gutter, Reading
from framecheck.reading._shape import Shape, Taken, turned
from framecheck.reading._uneven import UNEVEN

Content = Callable[[bytes], float]

MOST_OCTETS = 65_535 + 512
"""Octets of a dump: the longest IPv4 datagram, its link header, and what a driver adds."""
_DIGITS = re.compile(r"(?<![0-9A-Za-z_])(?:0x)?[0-9A-Fa-f]+")
WIDTHS = (4, 8, 10, 12, 16, 20, 24, 32, 40, 48, 64)
"""Octets that a row of a dump of several rows has; other lines stand for themselves."""
STRONG = 8.0
"""Bits of content from which a row begins a frame."""
ETHERTYPES = (b"\x08\x00", b"\x08\x06", b"\x81\x00", b"\x86\xdd", b"\x88\xa8")
_MOST_JUMP = 64


class Track:
    """Rows that belong together so far."""

    def __init__(self, shape: Shape, facts: Facts, content: Content | None = None) -> None:
        self.shape = shape
        self.content = content
        self.facts = facts
        self.rows: list[Row] = []
        self.digits = 0
        """Characters that are digits of octets."""
        self.lines: list[tuple[int, int, int]] = []
        """For each row: first character, characters with the line's end, characters dropped."""
        self.parts: list[bytes] = []
        self.total = 0
        self.first_value: int | None = None
        self.expected: int | None = None
        self.progressed = 0
        self.closed = False
        self.gutter: Gutter | None = None
        self.gutter_bits = 0.0
        self.gutter_rows = 0
        self.wrong: list[int] = []
        self.doubts: list[Doubt] = []
        self.doubtful: list[Range] = []
        self.jumps = 0
        self.text = ""
        """The first row's line."""
        self.known = False
        """Whether a dump before had this very shape."""
        self.behind = False
        """Whether text that is no gutter stands behind the first row's octets."""
        self.letters = False
        """Whether the first row has a digit above 9."""
        self.broken = 0
        self.blanks = 0
        self.chatter = 0
        self.ended = True
        self.full = True
        self.spaced = False
        """Whether a blank line stands behind every row so far."""

    def begin(self, reading: Reading, line: Line) -> None:
        """The first row, as the general look read it."""
        value = None
        self.text = line.text
        self.behind = not reading.gutter and any(
            c.isalnum() for c in reading.line[reading.tail :][:200]
        )
        if reading.running is not None:
            self.behind = False
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
        if reading.notation in UNEVEN:
            self.digits = sum(b - a for a, b in zip(reading.columns, reading.ends, strict=True))

    def add(self, taken: Taken, line: Line, dropped: int = 0) -> None:
        """One more row."""
        n = len(taken.octets)
        self.digits += 2 * n
        self.rows.append(Row(line.number, self.total, taken.columns, taken.ends))
        self.lines.append((line.start, line.size, dropped))
        self.parts.append(taken.octets)
        if not self.letters:
            self.letters = not taken.octets.hex().isdigit()
        gutter = taken.gutter
        if gutter is not None:
            self.gutter_rows += 1
            self.gutter_bits += gutter.bits
            if gutter.wrong and gutter is not self.shape.gutter:
                self._gutter_differs(gutter, line.number)
        if taken.value is not None:
            if self.first_value is None:
                self.first_value = taken.value
            self.expected = taken.value + n // self.shape.unit
        self.total += n
        self.full = n == self.shape.per_row
        self.blanks = self.chatter = 0
        self.ended = line.ended

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
        if shape.offset:
            if len(self.rows) == 1 and not self.progressed:
                return self._second(line)
            taken = shape.take(line.text, self.expected) or self._third(line)
            if taken is None:
                return False
            self.progressed += 1
        else:
            if not self.full or shape.per_row not in WIDTHS or shape.notation in UNEVEN:
                return False
            taken = shape.take(line.text, None)
            if taken is None or (self.blanks and not self._across(taken)):
                return False
        self.add(taken, line)
        if self.total >= MOST_OCTETS:
            self.closed = True
        return True

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

    def _second(self, line: Line) -> bool:
        """The second row settles the offset's base and unit."""
        shape = self.shape
        first = self.first_value
        assert first is not None
        n = self.total
        for base, unit in ((16, 1), (10, 1), (16, 2), (16, 4), (8, 1)):
            shape.base = base
            try:
                start = int(f"{first:x}", base)
            except ValueError:
                continue
            if n % unit or (base != 16 and shape.lead.endswith(("0x", "0X"))):
                continue
            if base == 8 and shape.offset_digits < 6:
                continue
            taken = shape.take(line.text, start + n // unit)
            if taken is not None:
                shape.unit = unit
                self.first_value = start
                self.progressed += 1
                self.add(taken, line)
                return True
        shape.base = 16
        return False

    def _third(self, line: Line) -> Taken | None:
        """The third row, where the first two let the base open (0, 8, 16 are decimal)."""
        shape = self.shape
        if len(self.rows) != 2 or shape.base != 16 or self.first_value != 0:
            return None
        last = len(self.parts[-1]) // shape.unit
        if self.expected is None or self.expected - last > 9:
            return None
        shape.base = 10
        taken = shape.take(line.text, self.expected)
        if taken is None:
            shape.base = 16
        return taken

    def mend(self, line: Line, expected: int | None = None) -> bool:
        """Whether the line is this dump's next row, broken by the console."""
        shape = self.shape
        if not self.full or self.blanks > 1 or (not shape.offset and (self.blanks or self.chatter)):
            return False
        if shape.offset and self.expected is None:
            return False
        if len(self.rows) == 1 and not (shape.offset and self.first_value == 0):
            return False
        if not line.ended:
            cut = cut_row(shape, line.text, self.expected)
            if cut is not None:
                self.add(cut[0], line, cut[1])
                return True
        found = mend(shape, line.text, self.expected, line.number)
        if found is None:
            return False
        self.add_mended(found, line)
        return True

    def behind_first(self, line: Line) -> bool:
        """Whether an earlier line is the row in front of the first; if so it is put there."""
        shape = self.shape
        before: int | None = None
        if shape.offset:
            if self.first_value is None or shape.per_row % shape.unit:
                return False
            before = self.first_value - shape.per_row // shape.unit
        elif line.number != self.rows[0].line - 1:
            return False
        if before is not None and before < 0:
            return False
        found = mend(shape, line.text, before, line.number)
        if found is None or found.missing or len(found.taken.octets) != shape.per_row:
            return False
        later = Track(shape, self.facts, self.content)
        later.add_mended(found, line)
        n = later.total
        self.rows = later.rows + [r._replace(first=r.first + n) for r in self.rows]
        self.lines = later.lines + self.lines
        self.parts = later.parts + self.parts
        self.doubts = later.doubts + self.doubts
        self.doubtful = later.doubtful + [(a + n, b + n) for a, b in self.doubtful]
        self.wrong = [k + n for k in self.wrong]
        self.total += n
        self.digits += later.digits
        self.first_value = before
        return True

    def almost(self, line: Line) -> None:
        """A line that is no row of this dump, and looks as if it had been one."""
        if not self.full or self.blanks or self.chatter or self.claimed == self.total:
            return
        if not self.shape.offset and self.shape.per_row not in WIDTHS:
            return
        need = max(4, self.shape.per_row // 2)
        text = line.text[: 8 * len(self.shape.lead) + 8 * self.shape.per_row + 64]
        digits = sum(len(m) for m in _DIGITS.findall(text) if len(m) > 1) // 2
        if digits >= need:
            self.doubts.append(
                Doubt(
                    "where the dump ends",
                    "before this line",
                    "further on: the line is almost its next row",
                    True,
                    line.number,
                )
            )

    def add_mended(self, found: Mended, line: Line) -> None:
        """A broken row, with what is not sure of it."""
        first = self.total
        taken = found.taken
        self.add(taken, line)
        places = set(zip(taken.columns, taken.ends, strict=True))
        self.digits += sum(b - a for a, b in places) - 2 * len(taken.octets)
        self.doubts.extend(found.doubts)
        self.doubtful.extend((first + k, first + k + 1) for k in found.doubtful)
        self.broken += 1
        if found.missing:
            self.doubtful.append((max(0, self.total - 1), self.total + 1))
            self.full = True
            if self.expected is not None:
                self.expected += found.missing // self.shape.unit

    def jump(self, line: Line) -> bool:
        """Whether the line is a later row of this dump, with rows lost between."""
        shape = self.shape
        if not shape.offset or self.expected is None or not self.full or self.blanks > 1:
            return False
        taken = shape.take(line.text, None)
        if taken is None or taken.value is None:
            return False
        lost = (taken.value - self.expected) * shape.unit
        if not 0 < lost <= _MOST_JUMP * shape.per_row or lost % shape.per_row:
            return False
        if len(self.rows) == 1 and self.first_value != 0:
            return False
        self.doubts.append(
            Doubt(
                "lost lines",
                f"{lost} octets that the offset column counts and no line prints, left out",
                "octets that were never there",
                True,
                line.number,
            )
        )
        self.doubtful.append((max(0, self.total - 1), self.total + 1))
        self.jumps += 1
        self.add(taken, line)
        return True

    def loose(self, reading: Reading, line: Line) -> bool:
        """Whether a row that the shape does not read goes on all the same: its offset says so."""
        shape = self.shape
        if not shape.offset or self.expected is None or reading.offset is None:
            return False
        text = reading.line[reading.offset[0] : reading.offset[1]]
        try:
            value = int(text, shape.base)
        except ValueError:
            return False
        if value != self.expected or reading.group != shape.group or reading.little != shape.little:
            return False
        if len(reading.octets) > shape.per_row:
            return False
        if shape.gutter and not reading.gutter:
            return False
        self.progressed += 1
        self.add(
            Taken(value, reading.octets, reading.columns, reading.ends, reading.gutter, True),
            line,
        )
        return True

    @property
    def claimed_reached(self) -> bool:
        """Whether the announced length is there."""
        return self.total in self.facts.claimed

    @property
    def claimed(self) -> int | None:
        """The announced length; of several, the one that fits."""
        facts = self.facts
        if self.total in facts.claimed or self.total in facts.maybe:
            return self.total
        return facts.claimed[0] if facts.claimed else None

    @property
    def octets(self) -> bytes:
        """All octets, in the order of the text."""
        return b"".join(self.parts)
