"""``<0010 53 07 .. >0020 5a3c``: rows between marks, each with a running count and a check.

What ``framecheck board`` prints. A dump begins with ``<frame LENGTH plain|fill START|probe NAME
CHECK`` and ends with ``<end COUNT CHECK``. A row gives the offset of its first octet, its octets,
behind ``>`` how many octets the frame has so far, and a check; ``=`` in place of octets says that
all up to the count are those that the first line names. Numbers are hex, four digits. The check is
the FCS-16 register of PPP (RFC 1662 C.2), not complemented: of a row over its offset (two octets)
and its octets, of the last line over all octets, of the first over the characters between the
mark and the blank before it. A burst of up to 16 wrong bits never passes it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from framecheck.core.frame import BROKEN_DIGITS, Doubt
from framecheck.core.problem import Problem
from framecheck.core.span import Range
from framecheck.core.sums import fcs16
from framecheck.reading._block import Cells, Content, Form, Found
from framecheck.reading._lines import Line

_ROW = re.compile(r"<([0-9a-f]{4}) ((?:[0-9a-f]{2} ){1,16}|= )>([0-9a-f]{4}) ([0-9a-f]{4})")
_HEAD = re.compile(r"<(frame ([0-9a-f]{4}) (plain|fill|probe)((?: [0-9a-f]{1,20})*)) ([0-9a-f]{4})")
_END = re.compile(r"<end ([0-9a-f]{4}) ([0-9a-f]{4})")
_PART = re.compile(r"<(?=[0-9a-f]{4} |frame |end )")
_LIKE = re.compile(r"<[0-9a-f]{3,5} |>[0-9a-f]{3,5} [0-9a-f]{3,5}$|(?:[0-9a-f]{2} ){4}|<\w{3} ")
_CHATTER = 4
"""Lines of something else that may stand between two rows."""
_DIGITS = "0123456789abcdef"
_AROUND = " <>="
_LONGEST = 80
"""Characters of a row, with room for a doubled one: longer parts are not healed."""


class _Row(NamedTuple):
    line: Line
    first: int
    octets: bytes | None
    """None: those of the pattern."""
    stop: int
    columns: tuple[int, ...]
    ends: tuple[int, ...]
    check: int
    healed: tuple[int, ...] = ()
    """Octets of the row that a lost or doubled character spoilt."""
    sure: bool = True


class _Rows:
    """The lines of one dump, so far."""

    def __init__(self, line: Line) -> None:
        self.held: list[Line] = []
        self.rows: list[_Row] = []
        self.doubts: list[Doubt] = []
        self.length: int | None = None
        self.pattern: bytes | None = None
        self.headed = self.ended = False
        self.whole: int | None = None
        self._chatter = 0
        self.take(line)

    @property
    def lines(self) -> list[Line]:
        """All lines that are held."""
        return self.held

    def take(self, line: Line) -> bool:
        """Whether the line goes on with the dump."""
        if self.held and (self.ended or _HEAD.search(line.text)):
            twice = line.text == self.held[-1].text
            if twice:
                self._note("lost lines", "a line that came twice, taken once", line)
                self.held.append(line)
            return twice
        starts = [m.start() for m in _PART.finditer(line.text)]
        if not starts:
            if self._chatter >= _CHATTER:
                return False
            self._chatter += 1
            if _LIKE.search(line.text):
                self._heal(line, 0, len(line.text))
            self.held.append(line)
            return True
        self._chatter = 0
        self.held.append(line)
        if line.text[: starts[0]].endswith("<"):
            self._note(BROKEN_DIGITS, "a mark that came twice", line)
        if len(starts) > 1:
            self._note("where lines end", "two lines that ran together", line)
        for start, stop in zip(starts, [*starts[1:], len(line.text)], strict=True):
            self._part(line, start, stop)
        return True

    def _part(self, line: Line, start: int, stop: int) -> None:
        text = line.text[start:stop].rstrip()
        if m := _ROW.fullmatch(text):
            row = _row(line, start, m, range(len(text)))
            if self._holds(row):
                self.rows.append(row)
                return
        elif m := _END.fullmatch(text):
            self.ended, self.length = True, self.length or int(m[1], 16)
            self.whole = int(m[2], 16)
            if int(m[1], 16) != self.length:
                self._note("length of the dump", f"{self.length} octets", line)
            return
        elif (m := _HEAD.fullmatch(text)) and not self.headed:
            self.headed = fcs16(m[1].encode()) == int(m[5], 16)
            if self.headed:
                self.length = int(m[2], 16)
                self.pattern = _pattern(m[3], m[4].split(), self.length)
                return
        self._heal(line, start, start + len(text))

    def _holds(self, row: _Row) -> bool:
        octets = row.octets
        if octets is None:
            if self.pattern is None or not row.first < row.stop <= len(self.pattern):
                return False
            octets = self.pattern[row.first : row.stop]
        told = fcs16(row.first.to_bytes(2, "big") + octets)
        return row.first + len(octets) == row.stop and told == row.check

    def _heal(self, line: Line, start: int, stop: int) -> None:
        """A part that does not pass: one character lost or doubled is put right by the check."""
        text = line.text[start:stop]
        found = {}
        for changed, origin in _changed(text) if len(text) <= _LONGEST else ():
            m = _ROW.search(changed)
            if m:
                row = _row(line, start, m, origin)
                if self._holds(row):
                    found[row.first, row.octets, row.stop] = row
        if len(found) == 1:
            (row,) = found.values()
            self._note(BROKEN_DIGITS, "one character lost or doubled, put right by the check", line)
            self.rows.append(row)
            return
        m = _ROW.search(text)
        if m and m[2] != "= ":
            row = _row(line, start, m, range(len(text)))
            expected = self.rows[-1].stop if self.rows else 0
            if row.first == expected and row.octets and row.stop - row.first == len(row.octets):
                self.rows.append(row._replace(sure=False))
                self._note(BROKEN_DIGITS, "a row that does not pass its check", line)
                return
        self._note("lost lines", "a line that does not pass its check, left out", line)

    def _note(self, about: str, taken: str, line: Line | None) -> None:
        number = line.number if line else None
        self.doubts.append(Doubt(about, taken, "as the board printed it", True, number))

    def found(self) -> list[Found]:
        """The dump, if a row came through."""
        if not self.rows:
            return []
        cells, octets, doubtful, healed = self._cells()
        if not self.headed:
            self._note("lost lines", "a dump without its first line", self.held[0])
        if not self.ended:
            self._note("lost lines", "a dump without its last line", self.held[-1])
        elif self.length != len(octets):
            self._note("lost octets", f"{len(octets)} octets of {self.length}", self.held[-1])
        doubts = self.doubts
        if self.ended and self.length == len(octets) and fcs16(octets) == self.whole:
            # The check over all octets vouches for them, whatever became of single lines; what
            # was put right stays doubtful.
            doubts, doubtful = [d._replace(decides=False) for d in doubts], healed
        elif self.ended and not doubts:
            doubtful = [(0, len(octets))]
            doubts = [Doubt(BROKEN_DIGITS, "rows that pass", "the check of all octets", True)]
        lead = f"{self.length} octets" if self.length is not None else ""
        words = "a count and a check behind each row"
        ranges = tuple(doubtful)
        return [Found(tuple(cells), words, 60.0, tuple(doubts), lead, ranges, settled=True)]

    def _cells(self) -> tuple[list[Cells], bytes, list[Range], list[Range]]:
        """Rows with what the pattern stands for; octets; the doubtful ones; those put right."""
        cells: list[Cells] = []
        octets = b""
        doubtful: list[Range] = []
        healed: list[Range] = []
        stop = 0
        for row in self.rows:
            if row.first < stop:
                self._note("lost lines", "a line that came twice, taken once", row.line)
                if row.stop == stop and len(row.octets or b"") == len(cells[-1].octets):
                    # The later one stands for both, so that neither begins a dump of its own.
                    cells[-1] = Cells(row.line, cells[-1].octets, row.columns, row.ends)
                continue
            if row.first > stop:
                lost = f"{row.first - stop} octets that no line prints, left out"
                self._note("lost lines", lost, row.line)
                doubtful.append((max(0, len(octets) - 1), len(octets) + 1))
            here, stop = len(octets), row.stop
            part = row.octets
            columns, ends = row.columns, row.ends
            if part is None:
                part = (self.pattern or b"")[row.first : row.stop]
                columns, ends = columns * len(part), ends * len(part)
            octets += part
            cells.append(Cells(row.line, part, columns, ends))
            bad = row.healed if row.sure else range(len(part))
            doubtful.extend((here + k, here + k + 1) for k in bad)
            healed.extend((here + k, here + k + 1) for k in row.healed)
        return cells, octets, doubtful, healed


def _row(line: Line, start: int, m: re.Match[str], origin: Sequence[int | None]) -> _Row:
    """A row as its match has it.

    ``origin``: from its characters to those of the part; None: put in.
    """
    first, stop, check = int(m[1], 16), int(m[3], 16), int(m[4], 16)
    at = m.start(2)
    groups = [at] if m[2] == "= " else range(at, m.end(2), 3)
    width = 1 if m[2] == "= " else 2
    spans = []
    for a in groups:
        there = [o for o in origin[a : a + width] if o is not None] or [a]
        spans.append((start + there[0] + 1, start + there[-1] + 2))
    columns, ends = tuple([c for c, _ in spans]), tuple([e for _, e in spans])
    if m[2] == "= ":
        return _Row(line, first, None, stop, columns, ends, check)
    healed = tuple([k for k, (c, e) in enumerate(spans) if e - c != 2])
    return _Row(line, first, bytes.fromhex(m[2]), stop, columns, ends, check, healed)


def _changed(text: str) -> Iterator[tuple[str, list[int | None]]]:
    """The text with one character put in or taken out, and where its characters come from."""
    size = len(text)
    for at in range(size + 1):
        for c in _DIGITS + _AROUND:
            yield text[:at] + c + text[at:], [*range(at), None, *range(at, size)]
        if at < size:
            yield text[:at] + text[at + 1 :], [*range(at), *range(at + 1, size)]


def _pattern(kind: str, words: list[str], length: int) -> bytes | None:
    """The octets that the first line names."""
    # Loaded only for dumps that leave octets out.
    from framecheck.damage.fills import fill
    from framecheck.damage.probes import Addresses, frame, kind_of

    numbers = [int(word, 16) for word in words]
    if kind == "fill" and len(numbers) == 1:
        return fill("odd-parity").octets(numbers[0], numbers[0] + length)
    if kind != "probe" or len(words) != 4 or len(words[3]) != 20:
        return None
    to = bytes.fromhex(words[3])
    try:
        return frame(numbers[0], numbers[1], kind_of(numbers[2]), Addresses(to[:6], to[6:]))
    except Problem:
        return None


def begin(line: Line, content: Content | None) -> _Rows | None:
    """A dump that a first line or any of its rows begins."""
    rows = _Rows(line)
    return rows if rows.headed or rows.rows else None


CHECKED = Form(
    "rows with a count and a check",
    _ROW.pattern.replace("(", "(?:").replace("(?:?:", "(?:")
    + r"|<frame [0-9a-f]{4} (?:plain|fill|probe)",
    begin,
    "<frame 000e plain 0d1d\n"
    "<0000 02 00 5e 10 00 01 02 00 5e 10 00 02 08 06 >000e 0601\n"
    "<end 000e 00c2\n",
)
