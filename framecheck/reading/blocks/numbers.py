"""Rows of decimal, octal or binary octets, or of hex without leading zeros, also with offsets."""

from __future__ import annotations

import re
from itertools import accumulate, islice
from typing import NamedTuple

from framecheck.core.frame import BROKEN_DIGITS, INTERLEAVED, Doubt
from framecheck.reading._beyond import above, misaligned, odd_gap
from framecheck.reading._block import MOST_LINES, Cells, Content, Form, Found, begins_anew
from framecheck.reading._lines import Line
from framecheck.reading._odd import lost_digits
from framecheck.reading._reading import Stretch
from framecheck.reading._track import ETHERTYPES
from framecheck.reading._wanted import wanted
from framecheck.reading.traits.gutter import judge
from framecheck.reading.traits.offset import number

_NUMBER = re.compile(
    r"(?<![0-9A-Za-z_.\-])(?:0[xXbo](?=[0-9A-Fa-f]))?(?P<digits>[0-9A-Fa-f]{1,8})(?![0-9A-Za-z_.])"
)
_GAP = re.compile(r"['\"]?[ \t]*([,;/|:]?)[ \t]*['\"]?(?:0[xXbo])?")
_OFFSET_GAP = re.compile(r"[\])]?[ \t]*[:|>=]{1,2}[ \t]*|[ \t]{2,}|\t|[\])][ \t]*")
_MARK = re.compile(r"[\[({<'\" \t]*(?:0[xXbo])?$")
_OPENED = re.compile(r"[\[({<]")
_CLOSED = re.compile(r",?[ \t]?[\])}>]")
_MOST_FOREIGN = 3
_MOST_TAKEN = 16
"""Numbers at the end of a row that may be its characters."""
_HALF = re.compile(r"[ \t]+[|\-][ \t]+")
"""What parts the halves of a row."""
_CELL = r"(?:  \d| [1-9]\d|[1-9]\d\d)"
_COLUMNS = re.compile(rf"(?<![0-9A-Za-z.])(?P<cells>{_CELL}{{2,}})[ \t]*$", re.ASCII)
_JOINED = re.compile(r"\d{4}")
_TOUCHED = re.compile(r"[ \t]*[,;]?[ \t]*\d{1,3}[A-Za-z]")
"""A number that a word touches, behind the last one of a row."""
_FEWEST = 4
_ROW = 8
"""Octets of a row in front of which an offset stands that nothing parts from them, at least."""
_BASES = {10: "decimal", 8: "octal", 2: "binary", 16: "hex without leading zeros"}
_MARKS = {10: "", 8: "0o", 2: "0b", 16: "0x"}
_LENGTHS = {10: (1, 2, 3), 8: (1, 2, 3), 2: (8,), 16: (1, 2)}
_HEAD = 64
"""Octets by which the beginning of a frame is known."""
_SURE = 8.0
"""Bits of content from which the base of the numbers is no question."""


class _Row(NamedTuple):
    lead: str
    offset: str | None
    cells: tuple[Stretch, ...]
    mark: str
    """What separates the numbers, blanks aside."""
    tail: str
    """What stands behind the last number."""


def _columns(text: str, fewest: int = _FEWEST) -> list[Stretch]:
    """Numbers that only their columns part: three characters each, some of them side by side."""
    m = _COLUMNS.search(text)
    if m is None or not _JOINED.search(m[0]):
        return []
    if fewest > 1 and len({len(w) for w in m[0].split()}) == 1:
        return []  # groups of one width need no columns
    found = [(at, at + 3) for at in range(m.start(), m.end("cells"), 3)]
    if len(found) < fewest:
        return []
    return [(b - len(text[a:b].lstrip(" ")), b) for a, b in found]


def _row(text: str, fewest: int, *, thirds: bool = True) -> _Row | None:
    """The longest list of numbers of a line, and the number in front of it.

    ``thirds``: whether columns of three may be all that parts the numbers.
    """
    spans = _columns(text, fewest) if thirds else []
    spans = spans or [m.span("digits") for m in _NUMBER.finditer(text)]
    best: tuple[int, int, str] = (0, 0, "")
    first = 0
    while first < len(spans):
        last, mark = first + 1, None
        while last < len(spans):
            gap = text[spans[last - 1][1] : spans[last][0]]
            if not (mark == "" and last - first >= _FEWEST and _HALF.fullmatch(gap)):
                m = _GAP.fullmatch(gap)
                if m is None or (mark is not None and m[1] != mark):
                    break
                mark = m[1]
            last += 1
        if last - first > best[1] - best[0] or last - first == best[1] - best[0] == 2:
            best = first, last, mark or ""
        # ``0: 1 2``, ``e0: 0000: 1 2``: the number in front of a list may be its first.
        first = last if last - first < 2 or mark is None else last - 1
    low, high, mark = best
    if high - low < fewest:
        return None
    offset = None
    lead = text[: spans[low][0]]
    widths = [b - a for a, b in spans[low:high]]
    if high - low > 1 and widths[0] > 3 and {widths[0]} != set(widths[1:]) in ({3}, {8}):
        # A number of another width in front of its like is no octet.
        offset, low = text[slice(*spans[low])], low + 1
    elif high - low > 1 and (
        (widths[0] > 3 and max(widths[1:]) <= 3) or text[: spans[low][0]].endswith("@")
    ):
        offset, low = text[slice(*spans[low])], low + 1
    elif low:
        a, b = spans[low - 1]
        if _OFFSET_GAP.fullmatch(text[b : spans[low][0]]):
            offset, lead = text[a:b], text[:a]
    return _Row(lead, offset, tuple(spans[low:high]), mark, text[spans[high - 1][1] :])


def _values(text: str, cells: tuple[Stretch, ...], base: int) -> bytes | None:
    out = bytearray()
    for a, b in cells:
        digits = text[a:b]
        if text[max(0, a - 2) : a].lower() not in _MARKS[base] and text[a - 1 : a].isalpha():
            return None
        value = number(digits, base) if len(digits) in _LENGTHS[base] else None
        if value is None or value > 255:
            return None
        out.append(value)
    return bytes(out)


def _bare(text: str, row: _Row) -> _Row:
    """The row, its offset taken for a part of what stands in front."""
    return row._replace(lead=text[: row.cells[0][0]], offset=None)


def _beside(text: str, row: _Row) -> _Row | None:
    """The row without numbers that are its characters', where these stand beside it."""
    best: tuple[float, _Row] | None = None
    for count in range(len(row.cells), max(0, len(row.cells) - _MOST_TAKEN), -1):
        cells = row.cells[:count]
        octets = _values(text, cells, 16)
        rest = text[cells[-1][1] :]
        found = judge(octets, rest) if octets else None
        if found and not found.wrong and (best is None or found.bits > best[0]):
            best = found.bits, row._replace(cells=cells, tail=rest)
    return best[1] if best else None


class _Numbers:
    """Rows of numbers, so far."""

    def __init__(
        self, line: Line, row: _Row, bases: list[int], content: Content | None, beside: bool
    ) -> None:
        self.held = [line]
        self.lined = [line]
        """The lines of the rows."""
        self.rows = [row]
        self.foreign = 0
        """Lines behind the last row that are none."""
        self.bases = bases
        self.content = content
        self.ended = bool(_CLOSED.match(row.tail))
        self.open = row.offset is None and bool(_OPENED.search(row.lead[-4:]))
        self.offset = row.offset
        self.same: str | None = None
        """A number in front of all rows that is none."""
        self.counts = [
            (base, step)
            for base in (16, 10, 8)
            for step in (len(row.cells), 1)
            if number(row.offset or "", base) is not None
        ]
        self.widths = {b - a for a, b in row.cells}
        self.gutter = beside
        """Whether characters stand beside the octets of the rows."""
        self.stopped = 0
        """The line behind the last one, where it holds a list of numbers all the same."""
        self.among = 0
        """The line behind the list's end, where it is a row of a list that is open."""
        self.thirds = max(self.widths) <= 3 and len({b % 3 for _, b in row.cells}) == 1

    @property
    def lines(self) -> list[Line]:
        """All lines that are held."""
        return self.held

    def take(self, line: Line) -> bool:
        """Whether the line goes on with the block."""
        if self.ended or len(self.held) >= MOST_LINES:
            self.among = line.number if self._is_more(line.text) else 0
            return False
        if self._next(line):
            self.foreign = 0
        elif self._between(line.text):
            self.foreign += 1
        else:
            if not self.ended and (self._due(line.text) or _row(line.text, _FEWEST)):
                self.stopped = line.number
            return False
        self.held.append(line)
        return True

    def _is_more(self, text: str) -> bool:
        """Whether a row stands behind the bracket that closed the list, and none opened it."""
        row = _row(text, _FEWEST) if self.open and self.ended else None
        return (
            row is not None and row.mark == self.rows[0].mark != "" and not row.lead.strip(" 0xX")
        )

    def _between(self, text: str) -> bool:
        """Whether a line may stand between rows: blank, or where offsets say that they go on."""
        if not text.strip():
            return self.foreign == 0 or self.offset is not None
        if self.offset is None or self.foreign >= _MOST_FOREIGN or len(self.rows) < 2:
            return False
        row = _row(text, 1)
        if row is None or (row.offset is None and len(row.cells) < _FEWEST):
            return True
        return _values(text, row.cells, 16) == bytes(range(len(row.cells)))  # a heading

    def _first_counts(self, text: str) -> None:
        """Find the offsets that stand among the numbers: nothing parts them but that they count."""
        first, row = self.rows[0], _row(text, 1, thirds=self.thirds)
        n = len(first.cells) - 1
        if (
            row is None
            or row.offset is not None
            or n % 2
            or not _ROW <= n >= len(row.cells) - 1 > 0
        ):
            return
        said, then = (t[slice(*r.cells[0])] for t, r in ((self.lined[0].text, first), (text, row)))
        counts = [(b, n) for b in (16, 10) if _follows(said, then, b, n)]
        if not counts:
            return
        self.offset, self.counts = said, counts
        lead = self.lined[0].text[: first.cells[0][0]]
        self.rows = [first._replace(lead=lead, offset=said, cells=first.cells[1:])]
        self.widths = {b - a for a, b in first.cells[1:]}

    def _next(self, line: Line) -> bool:
        if len(self.rows) == 1 and self.offset is None and self.same is None:
            self._first_counts(line.text)
        first = self.rows[0]
        row = self._counted(line.text) or _row(line.text, 1, thirds=self.thirds)
        if row is None or (len(row.cells) > 1 and row.mark != first.mark):
            return False
        if row.offset is None and self.offset is not None and len(row.cells) == 2:
            # ``50: 7``: of two numbers the first one is the offset.
            (a, b), second = row.cells
            row = row._replace(lead=line.text[:a], offset=line.text[a:b], cells=(second,))
        if row.offset is not None and row.offset == self.offset and len(self.rows) == 1:
            # A number in front that stands there again counts nothing: ``netd[198]:``.
            self.same, self.offset = self.offset, None
            first = _bare(self.lined[0].text, first)
            self.rows = [first]
        if self.same is not None and row.offset == self.same:
            row = _bare(line.text, row)
        if self.gutter:
            row = _beside(line.text, row)
        if row is None or (row.offset is None) != (first.offset is None):
            return False
        if _words(row.lead) not in (_words(first.lead), ""):
            return False
        bases = [b for b in self.bases if _values(line.text, row.cells, b) is not None]
        if not bases or not self._fits(line.text, row, bases):
            return False
        self.bases = bases
        self.rows.append(row)
        self.lined.append(line)
        self.widths |= {b - a for a, b in row.cells}
        return True

    def _counted(self, text: str) -> _Row | None:
        """The row behind the offset that is due, among numbers that are none."""
        if self.offset is None:
            return None
        for m in _NUMBER.finditer(text):
            start, stop = m.span("digits")
            due = any(self._counts(m["digits"], base, step) for base, step in self.counts)
            if due and _words(text[: m.start()]) == _words(self.rows[0].lead):
                found = _row(" " * stop + text[stop:], 1, thirds=self.thirds)
                return found and found._replace(lead=text[:start], offset=m["digits"])
        return None

    def _due(self, text: str) -> bool:
        """Whether a line begins with the offset that is due."""
        m = _NUMBER.search(text) if self.offset is not None else None
        if m is None or _words(text[: m.start()]) != _words(self.rows[0].lead):
            return False
        return any(self._counts(m["digits"], base, step) for base, step in self.counts)

    def _fits(self, text: str, row: _Row, bases: list[int]) -> bool:
        """Whether the row has as many numbers as it may have."""
        first = self.rows[0]
        fewer = len(row.cells) < len(first.cells)
        bare = not any(c.isalnum() for c in row.tail)
        if self.offset is not None:
            if len(row.cells) > len(first.cells):
                return False
            counts = [(b, s) for b, s in self.counts if self._counts(row.offset or "", b, s)]
            if counts:
                self.counts, self.ended = counts, fewer
            return bool(counts)
        last = self.rows[-1]
        uneven = len(row.cells) != len(first.cells)
        if uneven and not (self.open or (last.mark and last.tail.strip() == last.mark)):
            # Nothing says that the list goes on: a shorter row is the last one.
            self.ended = fewer and bare
            return self.ended
        if _CLOSED.match(row.tail):
            self.ended = True
        head = list(islice(zip(self.lined, self.rows, strict=True), 1 + _HEAD // len(first.cells)))
        return not any(
            begins_anew(
                self.content,
                b"".join([_values(line.text, r.cells, base) or b"" for line, r in head]),
                _values(text, row.cells, base) or b"",
            )
            for base in bases
        )

    def _counts(self, digits: str, base: int, step: int) -> bool:
        first = number(self.offset or "", base)
        return first is not None and number(digits, base) == first + step * len(self.rows)

    def found(self) -> list[Found]:
        """The dump, if there are enough rows and their numbers are no pairs of hex digits."""
        if self.widths == {2} or (len(self.rows) < 2 and not _columns(self.held[0].text)):
            return []
        texts = [line.text for line in self.lined]
        read = {
            base: [_values(t, r.cells, base) or b"" for t, r in zip(texts, self.rows, strict=True)]
            for base in self._order()
        }
        if not read:
            return []
        joined = {base: b"".join(parts) for base, parts in read.items()}
        said = {base: self.content(o) if self.content else 0.0 for base, o in joined.items()}
        base = max(said, key=said.__getitem__)
        if len(joined[base]) < 14:
            return []
        rows = []
        for line, row, octets in zip(self.lined, self.rows, read[base], strict=True):
            columns = tuple([a + 1 for a, _ in row.cells])
            rows.append(Cells(line, octets, columns, tuple([b + 1 for _, b in row.cells])))
        # Numbers that are all padded to three digits are rarer than others.
        proof = -8.0 if base in (10, 16) and self.widths != {3} else -4.0
        if self.offset is not None and self.counts[0][1] < len(self.rows[0].cells):
            proof += 2.0  # a counter of rows stands in any table
        elif self.offset is not None:
            proof += min(14.0, 5.0 + 2.0 * (len(rows) - 1))
        rivals = [b for b in read if joined[b] != joined[base] and said[base] < _SURE]
        doubts = [
            Doubt("base of the numbers", _BASES[base], _BASES[b], True, self.held[0].number)
            for b in rivals[:1]
        ]
        octets = joined[base]
        doubts.extend(self._above(octets))
        (odd, doubtful), (marked, hidden) = misaligned(rows), odd_gap(rows)
        doubts.extend((*odd, *marked))
        broken = self._broken()
        if broken:
            other = "parts of numbers: what stands behind them is not what ends the other rows"
            at = self.lined[broken[0]].number
            doubts.append(Doubt(BROKEN_DIGITS, "numbers as printed", other, True, at))
        if self.among:
            other = "rows of two lists: one that is open goes on behind the end of this"
            doubts.append(Doubt(INTERLEAVED, "rows of one dump", other, True, self.among))
        own = wanted(octets)
        short = octets[12:14] in ETHERTYPES if own is None else len(octets) < own
        if self.stopped and short:
            other = "further on: the line holds numbers, too"
            doubts.append(Doubt("where the dump ends", "before it", other, True, self.stopped))
        ends = list(accumulate(len(row.cells) for row in self.rows))
        doubtful += tuple([(ends[k] - 1, ends[k] + 1) for k in broken])
        doubtful += ((ends[0], ends[-1]),) if self.among else ()
        lead = self.rows[0].lead
        return [Found(tuple(rows), _BASES[base], proof, tuple(doubts), lead, doubtful + hidden)]

    def _broken(self) -> list[int]:
        """Rows whose last number goes on in the next line, or in what touches it."""
        if self.offset is not None or len(self.rows) < 2:
            return []
        found = []
        marked = [row.mark != "" and row.tail.strip() == row.mark for row in self.rows[:-1]]
        for k, row in enumerate(self.rows[:-1]):
            bare = row.mark != "" and not row.tail.strip() and any(marked)
            if bare or _TOUCHED.match(row.tail):
                found.append(k)
        return found

    def _above(self, octets: bytes) -> tuple[Doubt, ...]:
        """Doubts where offsets count from further on than a dump's first octet."""
        base, step = self.counts[0] if self.offset is not None else (0, 0)
        first = number(self.offset or "", base) if step >= _ROW else None
        if not first or first % step:
            return ()
        return above(first, octets, self.content, self.held[0].number)

    def _order(self) -> list[int]:
        """The bases that read every number, the likeliest first."""
        order = [2, 8, 10, 16] if self.widths == {3} else [2, 10, 16]
        if 8 in {base for base, _ in self.counts} and len(self.counts) == 1:
            order.append(8)  # the offsets count in octal
        return [b for b in order if b in self.bases]


def _follows(said: str, then: str, base: int, step: int) -> bool:
    """Whether a number that begins a row counts the numbers of the row in front, from its like."""
    before, behind = number(said, base), number(then, base)
    return before is not None and before % step == 0 and behind == before + step


def _words(lead: str) -> str:
    return re.sub(r"[0-9\s]+", "", _MARK.sub("", lead))


def begin(line: Line, content: Content | None) -> _Numbers | None:
    """A block whose first line is a list of numbers that are not all of two digits."""
    row = _row(line.text, _FEWEST)
    if row is None or {b - a for a, b in row.cells} == {2}:
        return None
    if lost_digits(line.text, row.cells):
        return None  # pairs of hex digits, one of which lost a digit
    bases = [b for b in _BASES if _values(line.text, row.cells, b) is not None]
    beside = _beside(line.text, row) if 16 in bases else None
    return _Numbers(line, beside or row, bases, content, beside is not None) if bases else None


NUMBERS = Form(
    "rows of numbers",
    r"(?:(?<![0-9A-Za-z_.])(?:0[xXbo])?[0-9A-Fa-f]{1,8}['\"]?(?:[ \t]*[,;:/|][ \t]*|[ \t]+)"
    rf"['\"]?){{3}}(?:0[xXbo])?[0-9A-Fa-f]|{_CELL}{{4}}[ \t]*$",
    begin,
    "  0:   2   0  94  16   0   1   2   0\n  8:  94  16   0   2   8   6\n",
)
