"""The log as lines, and what changes in each: digits, gutters, checks of rows, all else masked.

Line ends stay as they are, and with them the number of lines.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Collection, Iterator, Sequence
from itertools import pairwise

from framecheck.core.frame import Dump
from framecheck.core.sums import fcs16
from framecheck.core.text import Row as Placed
from framecheck.redaction._chatter import Stretch, addresses
from framecheck.redaction._digits import Script, read, script, written
from framecheck.redaction._gutter import Row, gutter, short
from framecheck.redaction._marks import moved_to, veiled

_LINE = re.compile(r"[^\r\n]*(?:\r\n|\r|\n|$)")
_NUMBER = re.compile(
    r"(?<![0-9A-Za-z_])(?:0[xX]|[@t+])?(?=[0-9A-Fa-f]*[0-9])[0-9A-Fa-f]{1,8}(?:_[0-9A-Fa-f]{4,8})?"
    r"[hH]?(?![0-9A-Za-z_])"
    r"|(?<![0-9A-Za-z_])[0-9A-Fa-f]{2,4}(?![0-9A-Za-z_])"
)
"""Numbers of a row: offsets, counts, stamps."""
_CHECKED = re.compile(r">([0-9a-f]{4}) ([0-9a-f]{4})")
_END = re.compile(r"<end ([0-9a-f]{4}) ([0-9a-f]{4})")
_HEAD = re.compile(r"<frame [0-9a-f]{4} (?:plain|fill|probe)(?: [0-9a-f]{1,20})* [0-9a-f]{4}")
_WORDS = re.compile(r"[A-Za-z]{1,12}(?:\d[A-Za-z])?")
_COUNTS = ("count", "check", "from and to", "sum")
_BESIDE = 40
"""Characters between octets of one row that are no separator any more."""
_MOST_BROKEN = 4
"""Lines that a screen's width makes of one row, at the most."""
_SUMS: tuple[Callable[[bytes], int], ...] = (
    lambda octets: sum(octets) & 0xFF,
    lambda octets: -sum(octets) & 0xFF,
    lambda octets: ~sum(octets) & 0xFF,
    lambda octets: _folded(octets),
    lambda octets: sum(octets) & 0xFFFF,
)
"""Sums that stand behind rows (common practice, no source)."""
_SUM = re.compile(r"[^0-9A-Za-z]*(?:0[xX])?([0-9A-Fa-f]{4}|[0-9A-Fa-f]{2})(?![0-9A-Za-z])")


def _folded(octets: bytes) -> int:
    folded = 0
    for octet in octets:
        folded ^= octet
    return folded


class Page:
    """The lines of a log, with the changes that dumps make to them."""

    def __init__(self, text: str) -> None:
        self.lines = [m[0] for m in _LINE.finditer(text) if m[0]]
        self._written: dict[int, dict[Stretch, str]] = defaultdict(dict)
        self._kept: dict[int, list[Stretch]] = defaultdict(list)
        self._between = ""
        """What parts the words of a dump's rows, its digits as zeros."""
        self._beside: int | None = None
        """Where the gutter of the dump begins, counted from 0."""
        self.starts: set[int] = set()
        """Lines in which dumps begin."""
        self.unwritable: list[tuple[int, int]] = []
        """Line and column of octets whose new digits could not be written."""

    def body(self, number: int) -> str:
        """A line without its end; lines count from 1."""
        return self.lines[number - 1].rstrip("\r\n")

    def print(self, dump: Dump, new: bytes) -> None:
        """Take note of what one dump's new octets change."""
        rows = [r for r in dump.places.rows if len(set(r.columns)) == len(r.columns)]
        pairs = [
            (self.body(r.line)[c - 1 : e - 1], dump.octets[r.first + k])
            for r in rows
            for k, (c, e) in enumerate(zip(r.columns, r.ends, strict=True))
        ]
        how = script(pairs, [r.ends for r in rows])
        by_line: dict[int, list[Placed]] = defaultdict(list)
        for row in dump.places.rows:
            if row in rows:
                by_line[row.line].append(row)
                self._digits(row, dump, new, how)
            else:
                self._keep_all(row)
        above: list[Placed] = []
        self._between, self._beside = "", None
        for number, placed in by_line.items():
            if len(placed) > 1 and moved_to(self.body(number)):
                # A screen without line ends: its rows stand in one line of the log.
                for row in placed:
                    self._around(number, [row], [], dump, new)
                continue
            whole = self._around(number, placed, above if number - 1 in by_line else [], dump, new)
            above = [] if whole else [*(above if number - 1 in by_line else []), *placed]
        self.starts.add(dump.places.rows[0].line)
        if "a check behind each row" in (dump.layout or ""):
            self._whole_check(dump, new)

    def _keep_all(self, row: Placed) -> None:
        """A marker of repeated rows stays."""
        start = row.columns[0] - 1
        self._kept[row.line].append((start, row.ends[0] - 1))

    def _digits(self, row: Placed, dump: Dump, new: bytes, how: Script) -> None:
        line = self.body(row.line)
        for k, (column, end) in enumerate(zip(row.columns, row.ends, strict=True)):
            at = row.first + k
            text = line[column - 1 : end - 1]
            self._kept[row.line].append((column - 1, end - 1))
            if dump.octets[at] == new[at]:
                continue
            if how.base == 16 and self._broken_apart(row.line, column, dump.octets[at], new[at]):
                continue
            shown = written(text, dump.octets[at], new[at], how)
            if shown is None:
                self.unwritable.append((row.line, column))
                shown = re.sub(r"[0-9A-Fa-f]", "0", text)
            start = column - 1
            if how.right and len(shown) != len(text):
                start, shown = _right(line, start, text, shown, packed=how.packed)
            self._written[row.line][start, end - 1] = shown

    def _broken_apart(self, number: int, column: int, old: int, new: int) -> bool:
        """Whether a screen's width broke the octet's digits apart; if so, both are written."""
        line, start = self.body(number), column - 1
        if start + 1 != len(line) or number >= len(self.lines):
            return False
        rest = self.body(number + 1)
        both = line[start] + rest[:1]
        if read(both, 16) != old or len(both) != 2 or rest[1:2].isalnum():
            return False
        shown = f"{new:02X}" if both != both.lower() else f"{new:02x}"
        self._written[number][start, start + 1] = shown[0]
        self._written[number + 1][0, 1] = shown[1]
        return True

    def _around(
        self, number: int, placed: Sequence[Placed], above: Sequence[Placed], dump: Dump, new: bytes
    ) -> bool:
        """What stands beside octets; whether a gutter is there.

        ``above``: the rows of the lines in front that showed none: one of a screen's width may
        have broken a row in two.
        """
        line = self.body(number)
        order = _in_order(placed)
        first, stop = order[0][0], max(e for _, e, _ in order)
        line = line[: moved_to(line, stop)]
        straight = sorted(i for _, _, i in order)
        row = _row(order, dump, new, first, stop)
        keep = self._kept[number]
        found = gutter(line, row)
        for n in range(1, min(len(above), _MOST_BROKEN) + 1 if found is None else 0):
            pieces = [*[o for r in above[-n:] for o in _in_order([r])], *order]
            found = gutter(line, _row(pieces, dump, new, first, stop))
            if found is not None:
                break
        if found is None and self._beside is not None:
            found = short(line, self._beside, row)
        if found is not None:
            self._beside = found.start
            for piece in found.changes:
                self._written[number][piece.start, piece.stop] = piece.text
            keep.append((found.start, found.stop))
        gaps = [(a, b) for (_, a, _), (b, _, _) in pairwise(order) if b - a <= _BESIDE]
        keep.extend(gap for gap in gaps if not any(addresses(line[slice(*gap)])))
        between = [line[a:b].translate(_DIGITS) for a, b in gaps if a < b]
        self._between = between[0] if between else self._between  # a last row may hold one word
        keep.extend(_like_gap(line, first, stop, self._between))
        numbers = any(word in (dump.layout or "") for word in _COUNTS)
        reach = (0, len(line) if numbers else first)
        keep.extend(_numbers(veiled(line), *reach, octets=(first, stop)))
        self._checks(number, line, row, straight)
        return found is not None

    def _checks(self, number: int, line: str, row: Row, at: Sequence[int]) -> None:
        """The check or sum that stands behind a row."""
        m = _CHECKED.match(line, row.stop + 1) or _CHECKED.search(line, row.stop)
        if m:
            front = at[0].to_bytes(2, "big")
            turn = fcs16(front + row.frame_old) ^ fcs16(front + row.frame_new)
            self._written[number][m.span(2)] = f"{int(m[2], 16) ^ turn:04x}"

    def sums(self, dump: Dump, new: bytes) -> None:
        """Sums behind rows, where every row has one."""
        rows = [r for r in dump.places.rows if len(set(r.columns)) == len(r.columns)]
        for make in _SUMS:
            found = [self._sum(r, dump.octets, new, make) for r in rows]
            known = [f for f in found if f is not None]
            if len(rows) > 1 and len(known) == len(found):
                for number, stretch, said in known:
                    self._written[number][stretch] = said
                return

    def _sum(
        self, row: Placed, old: bytes, new: bytes, make: Callable[[bytes], int]
    ) -> tuple[int, Stretch, str] | None:
        """The sum behind one row written anew; None when it is none."""
        line = self.body(row.line)
        m = _SUM.match(line, max(row.ends) - 1)
        octets = slice(row.first, row.first + len(row.columns))
        if m is None or int(m[1], 16) != make(old[octets]):
            return None
        said = f"{make(new[octets]):0{len(m[1])}x}"
        upper = line[: m.end()] != line[: m.end()].lower()
        return row.line, m.span(1), said.upper() if upper else said

    def _whole_check(self, dump: Dump, new: bytes) -> None:
        """The last line of a checked dump holds a check over all octets."""
        rows = dump.places.rows
        for number in range(max(1, rows[0].line - 4), rows[0].line):
            if m := _HEAD.search(self.body(number)):
                self._kept[number].append(m.span())
        last = rows[-1].line
        for number in range(last, min(last + 6, len(self.lines)) + 1):
            m = _END.search(self.body(number))
            if m:
                turn = fcs16(dump.octets) ^ fcs16(new)
                self._kept[number].append(m.span())
                self._written[number][m.span(2)] = f"{int(m[2], 16) ^ turn:04x}"
                return

    def is_dump(self, number: int) -> bool:
        """Whether a line prints octets."""
        return number in self._kept

    def kept(self, number: int, names: Collection[str] | None = None) -> list[Stretch]:
        """Stretches of a line that stay, or are written anew.

        ``names``: words that never stay; where it is given, other words of a dump's lines do.
        """
        stretches = self._stretches(number)
        if names is None or number not in self._kept:
            return stretches
        words = (m for m in _WORDS.finditer(self.body(number)) if m[0].lower() not in names)
        return [*(m.span() for m in words), *stretches]

    def _stretches(self, number: int) -> list[Stretch]:
        return [*self._kept.get(number, ()), *self._written.get(number, ())]

    def changed(self, number: int, base: Sequence[str]) -> str:
        """A line with its changes; ``base``: what each character of it is without them."""
        out, at = [], 0
        for (start, stop), text in sorted(self._written.get(number, {}).items()):
            if start >= at:
                out += [*base[at:start], text]
                at = stop
        return "".join((*out, *base[at:]))

    def pieces(self, number: int) -> Iterator[tuple[int, int, str | None]]:
        """A line in stretches: those that stay or change (with their text), and others (None)."""
        at = 0
        for (start, stop), text in sorted(self._written.get(number, {}).items()):
            if start >= at:
                yield from self._as_is(number, at, start)
                yield start, stop, text
                at = stop
        yield from self._as_is(number, at, len(self.body(number)))

    def _as_is(self, number: int, at: int, end: int) -> Iterator[tuple[int, int, str | None]]:
        """The same between two changes, which may stand inside a stretch that stays."""
        line = self.body(number)
        for first, last in sorted(self._kept.get(number, ())):
            start, stop = max(first, at), min(last, end)
            if start < stop:
                if start > at:
                    yield at, start, None
                yield start, stop, line[start:stop]
                at = stop
        if at < end:
            yield at, end, None


def _numbers(line: str, start: int, stop: int, octets: Stretch) -> Iterator[Stretch]:
    """Numbers of a row that are no part of an address; ``octets``: where the row's are."""
    beside = (line[: octets[0]], " " * octets[1] + line[octets[1] :])
    named = [(a, b) for part in beside for a, b, _ in addresses(part)]
    for m in _NUMBER.finditer(line, start, stop):
        if not any(a < m.end() and b > m.start() for a, b in named):
            yield m.span()


def _in_order(placed: Sequence[Placed]) -> list[tuple[int, int, int]]:
    """First and last character of each octet of a line, and its offset, as they stand there."""
    return sorted(
        (c - 1, e - 1, r.first + k)
        for r in placed
        for k, (c, e) in enumerate(zip(r.columns, r.ends, strict=True))
    )


def _row(
    order: Sequence[tuple[int, int, int]], dump: Dump, new: bytes, first: int, stop: int
) -> Row:
    indices = [i for _, _, i in order]
    straight = sorted(indices)
    return Row(
        bytes(dump.octets[i] for i in indices),
        bytes(new[i] for i in indices),
        bytes(dump.octets[i] for i in straight),
        bytes(new[i] for i in straight),
        first,
        stop,
    )


def _right(line: str, start: int, text: str, shown: str, *, packed: bool) -> tuple[int, str]:
    """Numbers that end in one column: blanks in front give or take the difference.

    ``packed``: the last blank in front may go too.
    """
    more = len(shown) - len(text)
    if more < 0:
        return start, " " * -more + shown
    while more and start > 1 and line[start - 1] == " " and (packed or line[start - 2] == " "):
        start, more = start - 1, more - 1
    return start, shown


_DIGITS = str.maketrans(dict.fromkeys("123456789", "0"))
"""Names of what holds the octets count: they are alike but for that."""


def _like_gap(line: str, first: int, stop: int, gap: str) -> Iterator[Stretch]:
    """What stands in front of the first octet and behind the last as it does between others."""
    counted = line.translate(_DIGITS)
    lead, tail = counted[:first], counted[stop:]
    front = next((n for n in range(len(gap), 0, -1) if lead.endswith(gap[-n:])), 0)
    behind = next((n for n in range(len(gap), 0, -1) if tail.startswith(gap[:n])), 0)
    yield first - front, first
    yield stop, stop + behind
