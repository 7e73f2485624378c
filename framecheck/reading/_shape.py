"""The shape of a dump's rows, learnt from one row: a pattern that reads its like fast.

Digits of the prefix may change from row to row (time stamps, counters); the rest of the prefix,
the separators and the columns may not.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import NamedTuple

from framecheck.reading._model import Model
from framecheck.reading._notation import varying
from framecheck.reading._reading import Gutter, Reading
from framecheck.reading.traits import remark
from framecheck.reading.traits.gutter import judge, rendered
from framecheck.reading.traits.offset import DIGITS, JOINED, SYMBOL

_PREFIX_PART = re.compile(
    r"0x[0-9A-Fa-f]+|[ \t]*(?<![0-9A-Za-z_])[0-9A-Fa-f]*\d[0-9A-Fa-f]*(?![0-9A-Za-z_])"
    r"|[ \t]*\d+|[^\d]"
)
_CLOSED = ("", "|", "'", '"', "]", "*", ">", ":")
_SUFFIX = re.compile(r"[A-Za-z_]\w{0,7}", re.ASCII)
_QUOTED = re.compile(r"[:=(,][ \t]*[\"']$")
"""What opens a text in front of the first row; the others stand alone."""
_GOES_ON = r"[ \t]*(?:[+&|:]|\.{2,3})[ \t]+"
"""A pattern for what stands in front of a row that goes on with the one above it."""
_OPENED = re.compile(r"[\[({][ \t]*(?P<mark>[^\w\s]{0,2}(?:0[xX]|\d{1,2}(?:#|'[hH])|[xX]\")?)$")
_CLOSING = re.compile(r"[\])}]")
_GROUP = re.compile(r"(?:0[xX])?[0-9A-Fa-f]+")
_MOST_NESTED = 64
_FEW = 3
_ADDRESS = 3
"""Digits from which on a number that touches a word may be an address: ``RX000C``."""
_MOST_BEHIND = 6
"""Groups of digits behind the octets of every row that are something else."""


Match = Callable[[str], re.Match[str] | None]


class Taken(NamedTuple):
    """One row as a shape reads it."""

    value: int | None
    """The offset, in the base of the shape."""
    octets: bytes
    columns: tuple[int, ...]
    ends: tuple[int, ...]
    gutter: Gutter | None
    gutter_seen: bool
    """Whether text stood where the gutter stands."""


class Shape:
    """What all rows of a dump have in common."""

    __slots__ = (
        "_columns",
        "_front",
        "_front_source",
        "_match",
        "_quote",
        "_source",
        "_tail",
        "_tail_gap",
        "base",
        "between",
        "blank",
        "closing",
        "counted",
        "first",
        "foreign_marks",
        "full_width",
        "gaps",
        "group",
        "gutter",
        "lead",
        "lead_pattern",
        "left",
        "little",
        "marks",
        "model",
        "most_rows",
        "notation",
        "offset",
        "offset_digits",
        "open",
        "opening",
        "per_group",
        "per_row",
        "start",
        "unit",
        "upto",
        "varies",
        "widths",
        "worded",
        "words",
    )

    def __init__(self, reading: Reading) -> None:
        line = reading.line
        self.notation = reading.notation
        self.group = reading.group
        self.per_row = len(reading.octets)
        self.gaps = tuple(
            line[a[1] : b[0]] for a, b in zip(reading.groups, reading.groups[1:], strict=False)
        )
        # What differs in the first row is that row's own fault.
        self.gutter = reading.gutter and reading.gutter._replace(wrong=())
        self.opening = reading.gutter.opening if reading.gutter else ""
        self.closing = reading.gutter.closing if reading.gutter else ""
        self.counted = reading.running is not None
        self.little = reading.little
        self.left = reading.left
        self.varies = varying(reading.notation) is not None and not (self.gutter or self.left)
        rest = line[reading.tail :]
        loose = bool(self.gaps) and _more_groups(rest, self.gaps[-1])
        self._tail = None
        self._tail_gap = rest[: len(rest) - len(rest.lstrip())]
        if not reading.gutter and not loose:
            self._tail = remark.pattern(rest, bool(reading.offset))
        self.offset = reading.offset is not None
        self.upto = reading.upto is not None
        self.base, self.unit = 16, 1
        self.offset_digits = reading.offset[1] - reading.offset[0] if reading.offset else 0
        self.first: int | None = None
        """The first offset of the dump before, in this shape."""
        self.words: dict[tuple[int, int, int], str] = {}
        """How its dumps are printed, in words, by what may still differ."""
        self.most_rows = 0
        """Rows of the longest dump before, in this shape."""
        self.start = reading.start
        self.lead = reading.lead
        self.open = bool(_OPENED.search(reading.lead)) and not _CLOSING.search(rest)
        self.lead_pattern = self._lead_source(reading)
        self.marks = frozenset([g.strip() for g in self.gaps])
        """What parts its octets, blanks aside."""
        foreign = {g for g in self.gaps if not g.isspace()}
        self.foreign_marks = sorted(foreign, key=len, reverse=True)
        self.blank = all(g.isspace() for g in self.gaps)
        self.model: Model | None = None
        """What many of its rows are held to at once, made when it is first asked for."""
        self._columns: dict[tuple[int, int], tuple[tuple[int, ...], tuple[int, ...]]] = {}
        between = line[reading.offset[1] : reading.start] if reading.offset else ""
        self.between = re.sub(r"[0-9A-Fa-f]+", "#", between) if self.upto else between
        self.worded = not self.upto and any(c.isalpha() for c in between.rstrip("xX0$"))
        quoted = _QUOTED.search(reading.lead) if not rest.strip() else None
        self._quote = quoted[0][-1] if quoted else ""
        self._match: Match | None = None
        self._front: Match | None = None
        self._source = self._row_source(reading)
        width, octets, widths = 0, 0, {}
        for k, (low, high) in enumerate(reading.groups):
            width += high - low
            octets += (high - low) // 2
            widths[octets] = width
            width += len(self.gaps[k]) if k < len(self.gaps) else 0
        self.widths = widths
        self.full_width = widths.get(self.per_row, -1)

    @property
    def match(self) -> Match:
        """A match of whole rows: most shapes are one line's, and no other is ever held to them."""
        if self._match is None:
            self._match = _read(self._source, self.notation)
        return self._match

    @property
    def apart(self) -> bool:
        """Whether the offset is set apart from the octets, which are parted in another way."""
        return self.offset and self.between not in self.gaps

    def _row_source(self, reading: Reading) -> str:
        lead = self._lead_source(reading)
        if reading.offset is None and reading.lead.strip():
            # Rows that go on under an opening word stand at an indent.
            opened = _OPENED.search(reading.lead)
            mark = re.escape(opened["mark"]) if opened else ""
            bare = mark or self._quote
            lead = f"(?:{lead}|[ \\t]{'*' if bare else '+'}{mark}|{_GOES_ON}{mark})"
        parts = [lead]
        digits = self.group * 2
        number = f"({DIGITS})"
        if reading.offset:
            if "_" in reading.line[slice(*reading.offset)]:
                number = f"({JOINED})"
            parts.append(number)
            if reading.left and reading.left[0] >= reading.offset[1]:
                parts.append(_left_source(reading, reading.offset[1], reading.start))
            else:
                between = _worded(self.between) if self.worded else re.escape(self.between)
                if self.upto:
                    between = between.replace(r"\#", "#").replace("#", DIGITS)
                parts.append(between)
        else:
            parts.append("()")
        front = "".join(parts).replace(number, rf"({DIGITS}|\S{{3,16}}?)")
        self._front_source = front + "(?=[^ \\t])"
        if digits == 0:
            digits = reading.groups[0][1] - reading.groups[0][0]
        unit = f"[0-9A-Fa-f]{{{digits}}}"
        short = f"[0-9A-Fa-f]{{2}}(?:[0-9A-Fa-f]{{2}}){{0,{max(0, digits // 2 - 2)}}}"
        gaps = [_any_blanks(g) if self.varies else re.escape(g) for g in self.gaps]
        data: str
        if not gaps:
            data = f"{unit}|{short}" if digits > 2 else unit
        elif len(gaps) < _MOST_NESTED:
            data = unit
            for g in reversed(gaps):
                more = f"(?:{data}|{short})" if digits > 2 else data
                data = f"{unit}(?:{g}{more})?"
            if digits > 2:
                data = f"{data}|{short}"
        else:
            gap = "|".join(sorted(set(gaps), key=len, reverse=True))
            data = f"{unit}(?:(?:{gap}){unit}){{0,{len(gaps)}}}"
        front = "".join(parts)
        if gaps and self.per_row % (digits // 2) == 0 and len(gaps) < _MOST_NESTED:
            # Most rows are full: try them without a choice at every group.
            whole = unit + "".join([g + unit for g in gaps])
            data = f"{whole}|{data}"
        suffix = _SUFFIX.match(reading.line, reading.tail)
        end = f"(?:{re.escape(suffix[0])})?" if suffix else "[hH]?"
        return f"{front}({data}){end}(?![0-9A-Za-z_])(.*)"

    def _lead_source(self, reading: Reading) -> str:
        lead = reading.lead
        if reading.left and reading.left[1] <= len(lead):
            return prefix_pattern(lead[: reading.left[0]]) + _left_source(
                reading, reading.left[0], len(lead)
            )
        if self.varies and not reading.offset and lead != lead.rstrip(" \t"):
            return prefix_pattern(lead.rstrip(" \t")) + "[ \\t]+"
        if reading.offset:
            # Offsets without leading zeros push the blanks in front of them aside.
            bare = lead.rstrip(" \t")
            if bare != lead and reading.offset[1] - reading.offset[0] <= 4:
                return prefix_pattern(bare) + "[ \\t]*"
        return prefix_pattern(lead)

    def take(self, line: str, expected: int | None) -> Taken | None:
        """Read a line as a row of this shape; None when it is none."""
        m = self.match(line)
        if m is None:
            return None
        number, data, rest = m.groups()
        try:
            value = int(number, self.base) if number else None
        except ValueError:
            return None
        if expected is not None and value != expected:
            return None
        start = m.start(2)
        if self.varies:
            return self._apart(value, data, start, rest)
        for mark in self.foreign_marks:
            data = data.replace(mark, " ")
        try:
            octets = bytes.fromhex(data)
        except ValueError:
            return None  # a mark of the notation that stands where none is expected
        n = len(octets)
        if self.little:
            octets = turned(octets, self.group)
        if n != self.per_row or len(data) != self.widths.get(n):
            exact = self._widths_fit(m, octets)
            if not exact:
                return None
        gutter = self.gutter
        if gutter is not None:
            if n == self.per_row:
                text = rendered(octets, gutter.gaps, gutter.other)
                if rest != self.opening + text + self.closing:
                    gutter = self._blanks(judge(octets, rest, gutter.other), octets, rest, 0)
                    if gutter is None and rest.strip():
                        return None
            else:
                gutter = self._short_gutter(octets, rest)
                if gutter is None and rest.strip():
                    return None
        elif rest and not rest.isspace() and not self._tail_fits(n, rest):
            return None
        columns, ends = self.columns(start, n)
        return Taken(value, octets, columns, ends, gutter, gutter is not None)

    def _apart(self, value: int | None, data: str, start: int, rest: str) -> Taken | None:
        """A row whose octets stand where their marks leave them, in no columns."""
        if rest and not rest.isspace() and not self._tail_fits(self.per_row, rest):
            return None
        columns = [
            start + m.start() + at + 1
            for m in _GROUP.finditer(data)
            for at in range(0, m.end() - m.start(), 2)
        ]
        octets = bytes.fromhex("".join(_GROUP.findall(data)))
        return Taken(value, octets, tuple(columns), tuple([c + 2 for c in columns]), None, False)

    def front(self, line: str, taken: Taken) -> str:
        """What stands in front of a row's octets; where words part them, in front of its offset."""
        if not self.worded:
            return self.lead and line[: taken.columns[0] - 1]
        m = self.match(line)
        return line[: m.start(1)] if m else ""

    def _blanks(self, found: Gutter | None, octets: bytes, rest: str, pad: int) -> Gutter | None:
        """What a row's gutter says, where a blank stands for what the others show as a dot.

        ``pad``: blanks that stand for the octets that a short row lacks.
        """
        text = " " * pad + self.opening + rendered(octets) + self.closing
        if found is None or self.gutter is None or self.gutter.gaps or len(rest) != len(text):
            return found
        at = pad + len(self.opening)
        pairs = enumerate(zip(rest[at:], text[at : at + len(octets)], strict=False))
        blank = {k for k, (a, b) in pairs if (a, b) == (" ", ".")}
        if not blank or len(blank) > max(1, len(octets) // 8):
            return found
        return found._replace(wrong=tuple(sorted({*found.wrong, *blank})))

    def looks_whole(self, line: str) -> bool:
        """Whether a line has all parts of a row of this shape, whatever they say."""
        return self.match(line) is not None

    def body(self, text: str, expected: int | None) -> tuple[int | None, int, bool] | None:
        """Offset, start of the octets, and whether the offset is broken, of an almost-row."""
        if self._front is None:
            self._front = _read(self._front_source, self.notation)
        m = self._front(text)
        if m is None:
            return None
        if not self.offset:
            return None, m.end(), False
        digits = m[1].lower()
        try:
            value = int(digits, self.base)
        except ValueError:
            value = -1
        if expected is None or value == expected:
            return (value, m.end(), False) if value >= 0 else None
        width = max(len(digits), 2)
        right = {16: f"{expected:0{width}x}", 10: f"{expected:0{width}d}"}.get(self.base, "")
        same = sum(a == b for a, b in zip(digits, right, strict=False))
        if value < 0 and len(right) == len(digits) >= 3 and same == len(digits) - 1:
            # One digit is foreign: the column still says which row this is.
            return expected, m.end(), True
        size = self.offset_digits
        if size >= 3 and abs(len(digits) - size) == 1:
            right = right.zfill(size) if len(right) <= size else right
            longer, shorter = sorted((digits, right), key=len, reverse=True)
            if any(longer[:i] + longer[i + 1 :] == shorter for i in range(len(longer))):
                return expected, m.end(), True  # one digit was lost, or came twice
        return None

    def _widths_fit(self, m: re.Match[str], octets: bytes) -> bool:
        return self.width(len(octets)) == m.end(2) - m.start(2)

    def width(self, n: int) -> int:
        """Characters from the first digit to the last of a row of ``n`` octets."""
        found = self.widths.get(n)
        if found is None:
            whole, part = divmod(n, self.group or n)
            found = whole * self.group * 2 + sum(len(g) for g in self.gaps[: whole - (not part)])
            found += part * 2
            self.widths[n] = found
        return found

    def _short_gutter(self, octets: bytes, rest: str) -> Gutter | None:
        """The gutter of a row that is not full: in the column of the others, or right behind."""
        gutter = self.gutter
        assert gutter is not None
        pad = self.width(self.per_row) - self.width(len(octets))
        text = rendered(octets, gutter.gaps, gutter.other)
        for opening in (" " * pad + gutter.opening, gutter.opening):
            if rest.startswith(opening + text):
                closing = rest[len(opening) + len(text) :].strip()
                if closing in _CLOSED:
                    return gutter
        found = judge(octets, rest, gutter.other)
        return self._blanks(found, octets, rest, pad) if gutter.other == "." else found

    def _tail_fits(self, n: int, rest: str) -> bool:
        bare = rest.strip()
        if self._quote and rest.startswith(self._quote):
            return True
        if self.counted:
            return bare.strip("|:;#/()[]<>{}'\"= \t").isdigit()
        if self._tail and self._tail(bare):
            # What is as many groups more is none, however much a broken row looked like that.
            gap = self.gaps[-1] if self.gaps else ""
            if gap and gap == rest[: len(rest) - len(rest.lstrip())] != self._tail_gap:
                return False  # in the first row it stands apart
            return not gap or len(bare.split(gap)) <= _MOST_BEHIND or not rest.startswith(gap)
        if remark.is_remark(rest) or (n < self.per_row and remark.is_empty(rest)):
            return True
        return len(bare) <= 8 and not any(c.isalnum() for c in bare)

    def columns(self, start: int, n: int) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """Columns of the digits of ``n`` octets that begin at character ``start``."""
        key = (start, n)
        found = self._columns.get(key)
        if found is None:
            columns: list[int] = []
            at, size = start, self.group * 2 or 2 * n
            gaps = iter(self.gaps)
            while len(columns) < n:
                columns.extend(range(at + 1, at + size + 1, 2))
                at += size + len(next(gaps, ""))
            del columns[n:]
            if self.little:
                columns = turned_columns(columns, self.group)
            found = tuple(columns), tuple([c + 2 for c in columns])
            if len(self._columns) < 4096:
                self._columns[key] = found
        return found


def _read(source: str, notation: str) -> Callable[[str], re.Match[str] | None]:
    """The match of a row's pattern, behind the rewriting of a notation whose marks vary."""
    match, rewritten = re.compile(source, re.ASCII | re.DOTALL).match, varying(notation)
    return match if rewritten is None else lambda text: match(rewritten(text))


def _more_groups(rest: str, gap: str) -> bool:
    """Whether groups go on behind the octets, one of them with a digit lost, or another's."""
    gap = gap.removesuffix("0x").removesuffix("0X")
    parts = rest.rstrip(", \t").split(gap) if gap else []
    if len(parts) < 2 or parts[0]:
        return False
    odd = [p for p in parts[1:] if not _GROUP.fullmatch(p) or len(p.removeprefix("0x")) % 2]
    foreign = [p for p in odd if not _GROUP.fullmatch(p)]
    if foreign:
        # One group of many holds another character; words are no groups.
        sizes = {len(p) for p in parts[1:]}
        return len(odd) == 1 and len(parts) > _FEW and sizes == {len(foreign[0])}
    return len(odd) == 1 or (bool(odd) and len(parts) <= 8)


def _left_source(reading: Reading, start: int, stop: int) -> str:
    """A pattern for a gutter in front of the octets, and what stands around it."""
    assert reading.left is not None
    line, (low, high) = reading.line, reading.left
    n = high - low
    front, behind = line[start:low], line[high:stop]
    return f"{re.escape(front)}(?:.{{{n}}}|.{{1,{n}}}?){re.escape(behind)}"


def _any_blanks(gap: str) -> str:
    """A pattern for what separates two groups, where blanks stand for marks of any length."""
    return r"[ \t]*".join([re.escape(part) for part in re.split(r"[ \t]+", gap)])


def _worded(between: str) -> str:
    """A pattern for what stands between an offset and the octets: a symbol's distance grows."""
    return SYMBOL.join([prefix_pattern(part) for part in re.split(SYMBOL, between)])


def prefix_pattern(lead: str) -> str:
    """A pattern for prefixes like this one: the same words, any numbers."""
    if len(lead) > 400:
        return f".{{{len(lead)}}}"
    parts: list[str] = []
    numbered = False
    for m in _PREFIX_PART.finditer(lead):
        part = m[0]
        if part.startswith("0x") and len(part) > 2:
            parts.append("0x[0-9A-Fa-f]+")
        elif part[-1].isdigit() or len(part) > 1:
            # Behind a number a blank must stay: two ways to split digits would cost dear.
            blanks = r"[ \t]+" if numbered else r"[ \t]*"
            number = r"\d+" if part.strip().isdigit() and len(part) < 3 else "[0-9A-Fa-f]+"
            if lead[m.start() - 1 : m.start()].isalnum():
                number = r"\d+" if part[0] in " \t" else _labelled(part)
            parts.append(blanks + number if part[0] in " \t" or m.start() == 0 else number)
        else:
            parts.append(re.escape(part))
        numbered = part[-1].isalnum()
    return "".join(parts)


def _labelled(number: str) -> str:
    """A pattern for a number that touches a word: a counter, or a padded address in hex."""
    return f"[0-9A-Fa-f]{{{len(number)},}}" if len(number) >= _ADDRESS else r"\d+"


def turned(octets: bytes, size: int) -> bytes:
    """The octets with the order of each group of ``size`` reversed; the last may be short."""
    if len(octets) % size == 0:
        out = bytearray(len(octets))
        for k in range(size):
            out[k::size] = octets[size - 1 - k :: size]
        return bytes(out)
    whole = len(octets) - len(octets) % size
    return turned(octets[:whole], size) + octets[whole:][::-1]


def turned_columns(columns: Sequence[int], size: int) -> list[int]:
    """The columns of octets whose groups are printed last octet first."""
    return [c for i in range(0, len(columns), size) for c in reversed(columns[i : i + size])]
