"""One octet a line, alone or among its index, character, decimal and other names of it.

The index counts on from line to line; the octet is the number that is one in every line, and of
several the one that another column confirms in another base.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from framecheck.core.frame import BROKEN_DIGITS, INTERLEAVED, Doubt
from framecheck.reading._beyond import looks
from framecheck.reading._block import MOST_LINES, Cells, Content, Form, Found
from framecheck.reading._lines import Line
from framecheck.reading._names import is_almost_named, is_named, unnamed
from framecheck.reading._track import SHORTEST, STRONG
from framecheck.reading._wanted import wanted

_MARK = r"0[xX]|\$|\\x|\d{1,2}'[hH]|16#|&[hH]"
"""What says that a number is hex: of C, of assemblers, of hardware (IEEE 1364), of others."""
_NUMBER = re.compile(rf"(?<![0-9A-Za-z_.])({_MARK})?([0-9A-Fa-f]{{1,8}})[hH]?(?![0-9A-Za-z_]|\.\d)")
_WORD = re.compile(r"([A-Za-z_]*[^A-Za-z_0-9]{0,12})$")
_SEVERAL = re.compile(r"[0-9A-Fa-f]{2}(?:[^0-9A-Za-z]{1,3}[0-9A-Fa-f]{2}(?![0-9A-Za-z])){3}")
"""Octets side by side: such a line is a row, or a hardware address."""
_CHARACTER = re.compile(r"(?<=\s)(['\"|(<\[]?)\S(['\"|)>\]]?)[ \t]*$|(['\"]).\3")
"""An octet's character, as it stands behind the octet."""
_ALONE = re.compile(r"(?<![^\s'\"|(<\[])([0-9A-Za-z!-~])(?=['\"|)>\]]?\s)")
"""A character that stands alone in front of something."""
_BLANKS = re.compile(r"[ \t]+")
_WIDE = re.compile(
    r"(?<![0-9A-Za-z_])(?:0[xX])?(?![01]{8}(?![0-9A-Fa-f]))(?:[0-9A-Fa-f]{2}){4,8}(?![0-9A-Za-z_])"
).search
"""A number of several octets, not one octet's bits."""
_LONGEST = 160
_MOST_NUMBERS = 8
_FEWEST = 14
_HEAD = 64
"""Octets by which the beginning of a frame is known."""
_MOST_DIFFER = 1
"""Octets that another number says otherwise, where the console broke one of the two."""
_FEW_VALUES = 3
"""Values that a slow clock takes on some lines."""
_FEWEST_CONFIRMED = 4
"""Octets from which another number for each of them is no chance."""
_STAMP = re.compile(r"(?<![0-9.])(\d+)[.,](\d{3,9})(?![0-9.])").search
_MOST_STEPS = 8
"""Lines that are lost at once, at most, where a clock counts them."""
_OPENED = re.compile(r"[\[({<]$")
_CLOSED = re.compile(r"[\])}>]").search
_MOST_FOREIGN = 3
_MOST_UNEVEN = 3
"""Lines unlike the others that are a fault and no habit."""
_BRANCH = re.compile(r"[\u2500-\u257f|`+\\\-]")
"""What draws a tree's branches; the last one is drawn in another way than the others."""

Key = tuple[str, str | int]


class _Number(NamedTuple):
    digits: str
    start: int
    stop: int
    marked: bool


class _Column:
    """Numbers of one column so far, read in one base."""

    __slots__ = ("base", "cells", "marked", "shared", "values", "widths")

    def __init__(self, base: int) -> None:
        self.base = base
        self.values: list[int] = []
        self.cells: list[tuple[int, int]] = []
        self.widths: set[int] = set()
        self.shared: list[int] = []
        """Lines, by their count, on which its number is the one that counts."""
        self.marked = True

    def add(self, number: _Number) -> bool:
        """Whether the number is one of this base, and can be an octet."""
        if (number.marked and self.base != 16) or len(number.digits) > (2, 3)[self.base == 10]:
            return False
        if self.base == 10 and not number.digits.isdigit():
            return False
        value = int(number.digits, self.base)
        if value > 255:
            return False
        self.values.append(value)
        self.cells.append((number.start, number.stop))
        self.widths.add(len(number.digits))
        self.marked = self.marked and number.marked
        return True

    def cut(self) -> bool:
        """Whether the last number has one digit, and all others have two."""
        sizes = [b - a for a, b in self.cells]
        return sizes[-1:] == [1] and set(sizes[:-1]) == {2}

    def leave_last(self) -> None:
        """Forget the last number."""
        del self.values[-1:], self.cells[-1:]
        self.widths = {b - a for a, b in self.cells}


def _numbers(text: str) -> dict[Key, _Number] | None:
    """The numbers of a line by what stands in front of them, and by their places."""
    if len(text) > _LONGEST or _SEVERAL.search(text):
        return None
    found: list[tuple[str, _Number]] = []
    last = 0
    for m in _NUMBER.finditer(text):
        if m[1]:
            word = "0x"
        else:
            before = _WORD.search(text[last : m.start()])
            word = _BLANKS.sub(" ", before[1]) if before else ""
        found.append((word, _Number(m[2], m.start(2), m.end(2), bool(m[1]))))
        last = m.end()
        if len(found) > _MOST_NUMBERS:
            return None
    out: dict[Key, _Number] = {}
    for k, (word, number) in enumerate(found):
        out[("left", k)] = number
        out[("right", len(found) - 1 - k)] = number
        if word.strip():
            key = ("word", word.strip())
            if key not in out:
                out[key] = number
    return out


class _OneALine:
    """Lines with one octet each, so far."""

    def __init__(self, line: Line, content: Content | None) -> None:
        self.held = [line]
        self.rows = [line]
        self.content = content
        self.foreign = 0
        self.looked = False
        """Whether the first line was looked at; most are followed by none like it."""
        self.place: int | None = None
        """Where a character stands in front of its octet."""
        self.front = ""
        self.named = False
        """Whether a name of its octet stands in front of the first one, as of the later ones."""
        self.torn = 0
        """The line behind the last one, where it looks like one more octet with its name."""
        self.skipping = 0
        """A line behind the last one that looks like one more octet, where its index skips some."""
        self.alike = self.among = 0
        """A line like the rows that is none, and whether more rows stand behind such a one."""
        self.indexes: dict[tuple[Key, int], int] = {}
        self.columns: dict[tuple[Key, int], _Column] = {}
        self.firsts: dict[tuple[Key, int], int] = {}
        self.lost: list[_Column] = []
        """Columns that ended on a line which others go on with."""
        self.counted = False

    def _look(self) -> None:
        """What stands in front of the first line's octet."""
        text = self.held[0].text
        self.looked = True
        self.named = is_named(text)
        self.place = next((at for at in _characters(text) if text[at - 1] in "'\""), None)
        self.front = _front(self._plain(text))

    def _first(self) -> bool:
        """Look at the first line, once a second one is like it; whether it has an octet."""
        for key, number in (_numbers(self._plain(self.held[0].text)) or {}).items():
            for base in (10, 16):
                if base == 16 or number.digits.isdigit():
                    self.indexes[key, base] = int(number.digits, base)
                column = _Column(base)
                if column.add(number):
                    self.columns[key, base] = column
        self.firsts = dict(self.indexes)
        return bool(self.columns)

    @property
    def lines(self) -> list[Line]:
        """All lines that are held."""
        return self.held

    def take(self, line: Line) -> bool:
        """Whether the line goes on with the block."""
        if len(self.held) >= MOST_LINES:
            return False
        if not self.looked:
            if _SEVERAL.search(line.text):
                return False
            self._look()
        if self._next(line):
            self.rows.append(line)
            self.among = self.among or self.alike
            self.foreign = self.alike = self.skipping = 0
        elif self.counted and len(self.rows) >= 4 and self.foreign < _MOST_FOREIGN:
            self.foreign += 1
            self.skipping = self.skipping or self._like_last(line)
            if _words(line.text) == _words(self.rows[-1].text) != "":
                self.alike = line.number
        else:
            self.torn = line.number if self.named and is_almost_named(line.text) else self.skipping
            return False
        self.held.append(line)
        return True

    def _like_last(self, line: Line) -> int:
        """The number of a line that looks like the last octet's, but for its index; else 0."""
        return line.number if looks(line.text) == looks(self.rows[-1].text) else 0

    def _next(self, line: Line) -> bool:
        text = self._plain(line.text)
        front = _front(text)
        if front != self.front and self.place is None and not self.named:
            self._character(line.text)
            text = self._plain(line.text)
            front = _front(text)
        if len(self.rows) == 1 and not front and self._opens():
            self.front = front  # the first line opens the list that these go on with
        branch = self.counted and _BRANCH.sub("", front) == _BRANCH.sub("", self.front)
        if (front != self.front and not branch) or not (self.columns or self._first()):
            return False
        numbers = _numbers(text)
        if not numbers:
            return False
        indexes = {}
        spots = set()
        for (key, base), last in self.indexes.items():
            number = numbers.get(key)
            if number and (base == 16 or number.digits.isdigit()):
                value = int(number.digits, base)
                if value == last + 1:
                    indexes[key, base] = value
                    spots.add(number.start)
        if self.counted and not indexes:
            return False
        if not self.counted and len(self.rows) > 1 and not self.columns:
            return False
        columns = {}
        taken = dict.fromkeys(self.columns)
        for key, base in taken:
            number = numbers.get(key)
            column = self.columns[key, base]
            if number is not None and column.add(number):
                columns[key, base] = column
                if number.start in spots:
                    column.shared.append(len(self.rows))
        alive = {k: c for k, c in columns.items() if k not in indexes}
        if not alive:
            for column in columns.values():
                column.values.pop()
                column.cells.pop()
            return False
        if len(self.rows) >= _FEWEST_CONFIRMED and len(self.lost) < _MOST_NUMBERS:
            # What stands behind a word is found there, whatever else the line holds.
            ended = (k for k in self.columns if k not in columns and k not in self.indexes)
            ended = (k for k in ended if k[0][0] == "word")
            self.lost += [self.columns[k] for k in ended]
        self.columns = columns
        self.indexes = indexes
        if indexes:
            self.counted = True
        return True

    def _opens(self) -> bool:
        """Whether the first line opens a list, and does not close it."""
        behind = self.held[0].text.lstrip()[len(self.front) :]
        return bool(_OPENED.search(self.front)) and not _CLOSED(behind)

    def _plain(self, text: str) -> str:
        """A line without the character that stands in front of its octet, if the first has one."""
        if self.named:
            return unnamed(text)
        first, at = self.held[0].text, self.place
        if at is None or (text[at - 1 : at], text[at + 1 : at + 2]) != (
            first[at - 1 : at],
            first[at + 1 : at + 2],
        ):
            return text
        return _without(text, at)

    def _character(self, text: str) -> None:
        """Look for the octet's character in front of it, where the first line has one as well."""
        first = self.held[0].text
        for at in _characters(text):
            known = _without(first, at)
            if not first[at : at + 1].isalnum() and _front(_without(text, at)) == _front(known):
                self.place, self.front = at, _front(known)
                return

    def found(self) -> list[Found]:
        """The dump, if the lines are one."""
        if not self.rows[-1].ended:
            self._cut()
        if len(self.rows) < _FEWEST:
            return []
        index = next(iter(self.indexes), None)
        if index is None and len({_words(self._plain(line.text)) for line in self.rows}) > 1:
            return []  # lines that have nothing in common but that there is a number in them
        spans = {tuple(c.cells[-1:]) for k, c in self.columns.items() if k in self.indexes}
        best: tuple[float, _Column] | None = None
        for column in self.columns.values():
            if tuple(column.cells[-1:]) in spans or len(column.values) != len(self.rows):
                continue
            bits = self._bits(column)
            if best is None or bits > best[0]:
                best = bits, column
        if best is None or best[0] < 0:
            return []
        bits, column = best
        if self._of_words() or (self._rivalled(column) and not self._begins(column)):
            return []
        if index is not None:
            bits += 10.0
        rows = []
        for row, value, (start, stop) in zip(self.rows, column.values, column.cells, strict=True):
            rows.append(Cells(row, bytes([value]), (start + 1,), (stop + 1,)))
        words = "hex" if column.base == 16 else "decimal"
        first = self.firsts[index] if index is not None else 0
        doubts: tuple[Doubt, ...] = ()
        if first > 1:
            doubts = (
                Doubt(
                    "first rows",
                    f"octets from index {first} on; those before are not in the log",
                    "a dump whose count starts there",
                    True,
                    self.rows[0].number,
                ),
            )
        odd = self._odd(column)
        if odd:
            doubts = (
                *doubts,
                Doubt(
                    BROKEN_DIGITS,
                    "octets of one digit",
                    "octets that lost their other digit",
                    True,
                    self.rows[odd[0]].number,
                ),
            )
        uneven = self._uneven()
        if uneven:
            other = "others: more or fewer numbers stand on this line than on the rest"
            number = self.rows[uneven[0]].number
            doubts += (Doubt(BROKEN_DIGITS, "an octet of each line", other, True, number),)
        if self.among:
            other = "lines of two dumps: one like them, of another count, stands among them"
            doubts += (Doubt(INTERLEAVED, "lines of one dump", other, True, self.among),)
        if self.torn and not _is_whole(bytes(column.values)):
            other = "further on: the line looks like one more octet"
            doubts += (Doubt("where the dump ends", "before this line", other, True, self.torn),)
        differ = self._differ(column)
        if differ:
            other = "others: other numbers of these lines say so, or are not there"
            taken, line = "octets as one number prints them", self.rows[differ[0]].number
            doubts += (Doubt(BROKEN_DIGITS, taken, other, True, line),)
        skipped = 0 if _is_whole(bytes(column.values)) else self._skipped()
        if skipped:
            other = "one more in front: the clock skips it"
            doubts += (Doubt("lost lines", "the lines that are there", other, True, skipped),)
        lead = self.rows[0].text[: column.cells[0][0]]
        doubtful = tuple([(k, k + 1) for k in sorted({*odd, *differ, *uneven})])
        words, settled = f"one octet a line, {words}", self.among > 0
        return [Found(tuple(rows), words, bits, doubts, lead, doubtful, settled=settled)]

    def _of_words(self) -> bool:
        """Whether each line has a number of more octets, and not one that counts up."""
        found = [_WIDE(line.text) for line in self.rows]
        values = [int(m[0], 16) for m in found if m]
        return len(values) == len(found) and any(b < a for a, b in pairwise(values))

    def _rivalled(self, column: _Column) -> bool:
        """Whether another column holds octets as well, and other ones."""
        for key, other in self.columns.items():
            if other.base != 16 or key in self.indexes or len(other.values) != len(self.rows):
                continue
            steps = {b - a for a, b in pairwise(other.values)}
            apart = other.widths == {2} and other.cells[0] != column.cells[0]
            if apart and len(steps) > _FEW_VALUES and other.values != column.values:
                return True
        return False

    def _begins(self, column: _Column) -> bool:
        """Whether a column begins as a frame does, beyond doubt."""
        head = bytes(column.values[:_HEAD])
        return self.content is not None and self.content(head) >= 2 * STRONG

    def _differ(self, column: _Column) -> list[int]:
        """Octets that numbers in another base, which confirm nearly all of them, do not confirm."""
        values = column.values
        if 0 < len(column.shared) <= _MOST_DIFFER:
            return column.shared
        for rival in (r for r in self.lost if r.marked and r.base == column.base):
            if len(rival.cells) >= _FEWEST and rival.cells[0] == column.cells[0]:
                both = zip(rival.cells, column.cells, strict=False)
                apart = [k for k, (a, b) in enumerate(both) if a != b]
                if apart:
                    return apart
        found: list[int] = []
        for rival in (*self.columns.values(), *self.lost):
            if rival.base == column.base or rival.cells[0] == column.cells[0]:
                continue
            # Two columns that meet on a line have one number there.
            cells = zip(column.cells, rival.cells, values, rival.values, strict=False)
            same = [x == y and a != b for a, b, x, y in cells]
            few = len(same) - sum(same) <= _MOST_DIFFER
            known = {v for v, s in zip(values, same, strict=False) if s}
            # Digits below ten look the same in both bases.
            if not few or len([v for v in known if v > 9]) < _FEW_VALUES:
                continue
            if len(same) == sum(same) == len(values):
                return []
            odd = [k for k, s in enumerate(same) if not s]
            found = found or odd or [len(same)]
        return found

    def _skipped(self) -> int:
        """The line in front of which a clock that counts the lines skips some; 0 for none."""
        found = [_STAMP(line.text) for line in self.rows]
        clock = [int(m[1] + m[2]) for m in found if m]
        steps = [b - a for a, b in pairwise(clock)]
        usual = max(set(steps), key=steps.count, default=0)
        odd = [k for k, step in enumerate(steps) if step != usual]
        if usual <= 0 or len(clock) < len(self.rows) or len(odd) != 1:
            return 0
        lost = steps[odd[0]] // usual
        whole = steps[odd[0]] % usual == 0 and 1 < lost <= _MOST_STEPS
        return self.rows[odd[0] + 1].number if whole else 0

    def _odd(self, column: _Column) -> list[int]:
        """Octets of one digit, where others have a zero in front."""
        sizes = [b - a for a, b in column.cells]
        padded = zip(self.rows, column.cells, sizes, strict=True)
        if column.base != 16 or not any(n == 2 and r.text[c[0]] == "0" for r, c, n in padded):
            return []
        return [k for k, n in enumerate(sizes) if n == 1]

    def _uneven(self) -> list[int]:
        """Rows with more or fewer numbers than the others, and in other words, if in any."""
        if self.named or self.place is not None:
            return []
        plain = [line.text for line in self.rows]
        for texts in (plain, [_CHARACTER.sub("", text) for text in plain]):
            counts = [len(_NUMBER.findall(text)) for text in texts]
            count, often = Counter(counts).most_common(1)[0]
            if often >= len(counts) - _MOST_UNEVEN:
                break
        else:
            return []
        said = Counter(map(_words, plain))
        return [
            k
            for k, n in enumerate(counts)
            if k and (n < count or (n > count and said[_words(plain[k])] in (1, len(plain))))
        ]

    def _cut(self) -> None:
        """Leave out a last line that the log's end cuts in the middle of an octet."""
        columns = [c for k, c in self.columns.items() if c.base == 16 and k not in self.indexes]
        if not any(c.cut() for c in columns):
            return
        self.rows = self.rows[:-1]
        for column in self.columns.values():
            column.leave_last()

    def _bits(self, column: _Column) -> float:
        """How much speaks for this column as the octets."""
        bits = 0.0
        if column.base == 16:
            bits += 2.0 if column.marked else 0.0
            odd = sum(b - a != 2 for a, b in column.cells)
            bits += 2.0 if odd <= _MOST_DIFFER else -2.0
        elif column.widths == {2}:
            bits -= 3.0
        confirmed = any(
            other.base != column.base and other.values == column.values
            for other in self.columns.values()
            if other.cells[0] != column.cells[0]
        )
        different = sorted(set(column.values))
        few = different != [0] and len(different) <= _FEW_VALUES
        if few and column.values == sorted(column.values):
            bits -= 4.0 * len(different)  # a clock, or what all lines have in front
        elif self.content is not None:
            bits += min(8.0, max(0.0, self.content(bytes(column.values[:_HEAD]))))
        return bits + 6.0 if confirmed else bits


def _is_whole(octets: bytes) -> bool:
    """Whether these are as many octets as their own header states, or padding makes of them."""
    own, total = wanted(octets), len(octets)
    return own is not None and (total == own or total >= max(own, SHORTEST))


def _characters(text: str) -> Iterator[int]:
    """Where a character stands alone in front of its own code."""
    for m in _ALONE.finditer(text[:_LONGEST]):
        if f"{ord(m[1]):02x}" in text[m.end() :].lower():
            yield m.start()


def _without(text: str, at: int) -> str:
    """The line with a blank in the place of one character."""
    return text[:at] + " " + text[at + 1 :]


def _words(text: str) -> str:
    """What a line says beside its numbers and a character, without blanks and a list's marks."""
    text = _CHARACTER.sub("", text)
    return re.sub(r"[\d\s.,;\[\](){}]+", "", _NUMBER.sub("", text))


def _front(text: str) -> str:
    """What stands in front of the first number, its blanks left out."""
    m = _NUMBER.search(text)
    return re.sub(r"[\d\s]+", "", text[: m.start()]) if m else text


def begin(line: Line, content: Content | None) -> _OneALine | None:
    """A block of lines with one octet each."""
    if len(line.text) > _LONGEST or _SEVERAL.search(line.text):
        return None
    return _OneALine(line, content)


ONE_A_LINE = Form(
    "one octet a line",
    rf"^.{{0,60}}?(?<![0-9A-Za-z_.])(?:{_MARK})?[0-9A-Fa-f]{{1,3}}[hH]?(?![0-9A-Za-z_]|\.\d)"
    r".{0,90}$",
    begin,
    "".join(
        f"rx[{i}] = 0x{o:02x}\n"
        for i, o in enumerate(bytes.fromhex("02005e10000102005e1000020806"))
    ),
)
