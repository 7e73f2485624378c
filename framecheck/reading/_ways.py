"""Ways to read the numbers of lines as octets: which of them, in which notation and order."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from framecheck.reading._lines import Line

FEWEST = 42
"""Octets of the shortest frame that is not cut."""
_NUMBER = re.compile(
    r"(?<=')[hHbBdD](?P<based>[0-9A-Fa-f]+)(?![0-9A-Za-z_])"
    r"|(?<![0-9A-Za-z_])(?:0?[xX]|16#)?(?P<plain>[0-9A-Fa-f]+)(?:[hH]|[uU](?:8|16|32))?(?![0-9A-Za-z_])"
    r"|\\x(?P<escaped>[0-9A-Fa-f]{2})|\\(?P<octal>[0-3][0-7]{2})"
)
_WIDTHS = (4, 6, 8, 12, 16, 24, 32)
_FEW_WORDS = 9
_LEADING = 4
"""Numbers in front that may count the lines."""
_COUNTS = (1, 2, 4, 8, 16)


class Number(NamedTuple):
    """A number of a line."""

    digits: str
    start: int
    """Characters in front of its digits."""
    escape: bool
    """Whether it is an octal one behind a backslash."""


class Placed(NamedTuple):
    """The octets that a line prints, each with its columns, counted from 1."""

    line: Line
    octets: bytes
    columns: tuple[int, ...]
    ends: tuple[int, ...]


_Read = list[tuple[Number, bytes]]
"""The numbers of a line that are of a notation, with the octets that they are in it."""
Read = Callable[[Number], bytes]
"""The octets of a number in a notation; none where it is not of it."""


class Way(NamedTuple):
    """A way to read the numbers of a line as octets."""

    words: str
    read: Read
    word: int
    """Octets of a number that is a word; 0 where it is an octet."""
    part: slice
    """Which of a line's numbers of this notation are octets."""
    back: bool
    """Whether a line prints its last octet, or word, first."""
    little: bool
    """Whether a word does."""

    def rows(self, lines: Sequence[Line], numbers: Sequence[list[Number]]) -> list[Placed]:
        """The octets of each line, with their places."""
        taken = self.taken(_cells(numbers, self.read))
        return [_row(x, r, self.little) for x, r in zip(lines, taken, strict=True)]

    def taken(self, cells: list[_Read]) -> list[_Read]:
        """The numbers that are octets, in the order of these."""
        step = -1 if self.back else 1
        return [row[self.part][::step] for row in cells]

    def octets(self, cells: list[_Read]) -> list[bytes]:
        """The octets of each line, without their places; none at all where this is no way."""
        taken = self.taken(cells)
        if self.read is _unpadded and _padded(taken):
            return []
        step = -1 if self.little else 1
        return [b"".join([o[::step] for _, o in row]) for row in taken]

    def says(self) -> str:
        """The way in words, as ``layout`` has them."""
        more = (", last first" if self.back else "") + (", low octet first" if self.little else "")
        return f"by its contents, {self.words}{more}"


def numbers_of(lines: list[Line]) -> list[list[Number]]:
    """The numbers of each line, without those in front that count the lines or their octets."""
    found: list[list[Number]] = []
    for line in lines:
        row = []
        for m in _NUMBER.finditer(line.text):
            name = m.lastgroup or "plain"
            row.append(Number(m[name], m.start(name), name == "octal"))
        found.append(row)
    for _ in range(_LEADING):
        counting = _counting(found)
        if not counting:
            break
        found = [row[1:] if k in counting else row for k, row in enumerate(found)]
    return found


def _counting(found: list[list[Number]]) -> set[int]:
    """The lines whose first numbers go up by one step, in some base, if nearly all do."""
    lines = [k for k, row in enumerate(found) if row]
    for base in (10, 16, 8) if len(lines) > 2 else ():
        values = [_value(found[k][0].digits, base) for k in lines]
        steps = [b - a if a >= 0 <= b else 0 for a, b in pairwise(values)]
        step, times = Counter(steps).most_common(1)[0]
        if step > 0 and times >= max(2, len(steps) - 2):
            even = [k for k, s in enumerate(steps) if s == step]
            return {lines[k] for k in even} | {lines[k + 1] for k in even}
    return set()


def _value(digits: str, base: int) -> int:
    try:
        return int(digits, base)
    except ValueError:
        return -1


def _pair(number: Number) -> bytes:
    return bytes.fromhex(number.digits) if len(number.digits) == 2 and not number.escape else b""


def _unpadded(number: Number) -> bytes:
    return bytes([int(number.digits, 16)]) if len(number.digits) < 3 else b""


def _decimal(number: Number) -> bytes:
    digits = number.digits
    value = int(digits) if len(digits) < 4 and digits.isdigit() else 256
    return bytes([value]) if value < 256 else b""


def _octal(number: Number) -> bytes:
    digits = number.digits
    fits = len(digits) == 3 and digits[0] in "0123" and not set(digits) - set("01234567")
    return bytes([int(digits, 8)]) if fits else b""


def _binary(number: Number) -> bytes:
    digits = number.digits
    return bytes([int(digits, 2)]) if len(digits) == 8 and not set(digits) - {"0", "1"} else b""


def _word(size: int) -> Read:
    def read(number: Number) -> bytes:
        digits = number.digits
        whole = 4 <= len(digits) <= size and len(digits) % 2 == 0
        return bytes.fromhex(digits) if whole else b""

    return read


_NOTATIONS: tuple[tuple[str, int, Read], ...] = (
    ("hex", 0, _pair),
    ("hex without zeros", 0, _unpadded),
    ("decimal", 0, _decimal),
    ("octal", 0, _octal),
    ("binary", 0, _binary),
)


def _cells(numbers: Sequence[list[Number]], read: Read) -> list[_Read]:
    return [[(n, o) for n in row for o in [read(n)] if o] for row in numbers]


def ways(numbers: list[list[Number]]) -> Iterator[tuple[Way, list[_Read]]]:
    """Ways to read the numbers of lines, with what they are in the notation."""
    sizes = Counter(len(n.digits) for row in numbers for n in row)
    widths = [w for w in _WIDTHS if sizes[w] >= len(numbers) - 1 > 0 or sizes[w] > _FEW_WORDS]
    notations = [*_NOTATIONS, *((f"words of {w // 2}", w // 2, _word(w)) for w in widths)]
    for words, size, read in notations:
        cells = _cells(numbers, read)
        count = Counter(map(len, cells[:-1] or cells)).most_common(1)[0][0]
        if sum(len(o) for row in cells for _, o in row) < FEWEST:
            continue
        for part in _parts(count):
            for back in (False, True) if count > 1 else (False,):
                for little in (False, True) if size else (False,):
                    yield Way(words, read, size, part, back, little), cells


def _padded(rows: Sequence[Sequence[tuple[Number, bytes]]]) -> bool:
    """Whether octets have a zero in front and others but one digit: these lost the other one."""
    sizes = {len(n.digits) for row in rows for n, _ in row}
    return len(sizes) > 1 and any(n.digits[0] == "0" != n.digits for row in rows for n, _ in row)


def _parts(count: int) -> list[slice]:
    """Which of so many numbers of a line may be octets."""
    found = [slice(k, None) for k in range(min(8, count))]
    found += [slice(k, -j) for j in (1, 2) for k in range(min(4, count - j))]
    found += [slice(k, k + c) for c in _COUNTS for k in range(min(8, count)) if k + c < count]
    found += [slice(k, None, step) for step in (2, 3) for k in range(step) if count > step]
    return found


def _row(line: Line, cells: Sequence[tuple[Number, bytes]], little: bool) -> Placed:
    octets, columns, ends = bytearray(), list[int](), list[int]()
    step = -1 if little else 1
    for number, part in cells:
        start, size = number.start + 1, len(number.digits) // len(part)
        octets += part[::step]
        columns += range(start, start + size * len(part), size)[::step]
        ends += range(start + size, start + size * len(part) + 1, size)[::step]
    return Placed(line, bytes(octets), tuple(columns), tuple(ends))
