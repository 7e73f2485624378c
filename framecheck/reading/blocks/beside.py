"""Two dumps beside each other on the same lines, each in its own columns."""

from __future__ import annotations

import re
from typing import NamedTuple

from framecheck.core.frame import Doubt
from framecheck.reading._block import MOST_LINES, Cells, Content, Form, Found
from framecheck.reading._lines import Line, taken_apart
from framecheck.reading._reading import Stretch
from framecheck.reading.traits.gutter import judge
from framecheck.reading.traits.offset import number

_PAIRS = re.compile(
    r"(?<![0-9A-Za-z_])[0-9A-Fa-f]{2}(?:[ :\-][0-9A-Fa-f]{2})*(?![0-9A-Za-z_]|[:\-] )"
)
_OFFSET = re.compile(r"(?<![0-9A-Za-z_])(?:0[xX])?([0-9A-Fa-f]{1,8})[\])]?[ \t]*[:|>=]?[ \t]*$")
_STRONG = 8.0
_FEWEST = 4
_SURE = 6.0


class _Sides(NamedTuple):
    offset: str | None
    left: Stretch | None
    right: Stretch | None


class _Beside:
    """Rows of two dumps, so far."""

    def __init__(self, line: Line, left: Stretch, right: Stretch, content: Content | None) -> None:
        self.held: list[Line] = []
        self.left, self.right = left, right
        self.size = (left[1] - left[0] + 1) // 3
        self.content = content
        self.sides: list[tuple[Cells | None, Cells | None]] = []
        m = _OFFSET.search(line.text[: left[0]])
        self.start = m[1] if m else None
        self.bases = [16, 10]
        self.counted = 0
        self.seconds: list[str | None] = []
        """The numbers in front of the right sides."""
        self._add(line, left, right)

    @property
    def lines(self) -> list[Line]:
        """All lines that are held."""
        return self.held

    def take(self, line: Line) -> bool:
        """Whether the line goes on with the block."""
        if len(self.held) >= MOST_LINES or line.pieces:
            return False
        left = right = None
        for m in _PAIRS.finditer(line.text):
            if m.start() == self.left[0]:
                left = m.span()
            elif m.start() == self.right[0]:
                right = m.span()
        if left is None and right is None:
            return False
        if self.start is not None:
            offset = _OFFSET.search(line.text[: self.left[0]])
            bases = [b for b in self.bases if offset and self._counts(offset[1], b)]
            if not bases:
                return False
            self.bases = bases
            self.counted += 1
        self._add(line, left, right)
        return True

    def _counts(self, digits: str, base: int) -> bool:
        try:
            first = int(self.start or "0", base)
            return int(digits, base) == first + len(self.held) * self.size
        except ValueError:
            return False

    def _add(self, line: Line, left: Stretch | None, right: Stretch | None) -> None:
        self.held.append(line)
        between = _OFFSET.search(line.text[: self.right[0]], self.left[1]) if right else None
        self.seconds.append(between[1] if between else None)
        cut = self.right[0]
        if right is None or len(line.text) <= cut:
            self.sides.append((_cells(line, left), None))
            return
        # Each half of the line belongs to one of the dumps.
        first, second = taken_apart(line, cut)
        self.sides.append((_cells(first, left), _cells(second, (0, right[1] - cut))))

    def found(self) -> list[Found]:
        """Both dumps, if each of them is one; or one, whose halves the offsets put together."""
        if len(self.held) < 2:
            return []
        left, right = self._side(0), self._side(1)
        proof = 6.0 + min(14.0, 2.0 * max(self.counted, len(right) - 1))
        if self._inside():
            rows = [row for pair in self.sides for row in pair if row is not None]
            return [Found(tuple(rows), "offset between halves", proof)]
        if self._goes_on(len(left), len(right)):
            doubts = () if len(left[-1].octets) == self.size else (_cut(left[-1].line.number),)
            rows = [*left, *right]
            return [Found(tuple(rows), "rows in two columns", proof, doubts, settled=bool(doubts))]
        if not (self._is_dump(left) and self._is_dump(right)):
            return []
        proof = 6.0 + min(14.0, 2.0 * self.counted)
        return [Found(tuple(rows), "two dumps beside each other", proof) for rows in (left, right)]

    def _side(self, side: int) -> list[Cells]:
        """The rows of one side, up to the first one that is not full."""
        rows: list[Cells] = []
        for pair in self.sides:
            cells = pair[side]
            if cells is None or (rows and len(rows[-1].octets) < self.size):
                break
            rows.append(cells)
        return rows

    def _is_dump(self, rows: list[Cells]) -> bool:
        """Whether offsets or contents say that a side is a dump of its own."""
        octets = b"".join([row.octets for row in rows])
        said = self.counted or (self.content is not None and self.content(octets) >= _STRONG)
        return len(octets) >= 14 and bool(said)

    def _inside(self) -> bool:
        """Whether the numbers between the sides are the offsets of rows of both of them."""
        numbers = [n for n in self.seconds if n is not None]
        if self.start is not None or len(numbers) < len(self.held) - 1:
            return False
        return any(
            [number(n, base) for n in numbers]
            == [(number(numbers[0], base) or 0) + 2 * k * self.size for k in range(len(numbers))]
            for base in self.bases
        )

    def _goes_on(self, left: int, right: int) -> bool:
        """Whether the right column's offsets count on where the left column's rows end."""
        if self.start is None:
            return False
        said = self.seconds[:right]
        return any(
            [number(n or "", base) for n in said]
            == [(number(self.start, base) or 0) + (left + k) * self.size for k in range(right)]
            for base in self.bases
        )


def _cut(line: int) -> Doubt:
    other = "octets that the end of this line lost, in front of the right column"
    return Doubt("lost octets", "as many as are printed", other, True, line)


def _cells(line: Line, where: Stretch | None) -> Cells | None:
    if where is None:
        return None
    columns = tuple(range(where[0] + 1, where[1] + 1, 3))
    octets = bytes([int(line.text[c - 1 : c + 1], 16) for c in columns])
    return Cells(line, octets, columns, tuple([c + 2 for c in columns]))


def begin(line: Line, content: Content | None) -> _Beside | None:
    """A block whose first line holds two equal lists of octets."""
    text = line.text
    found = [m.span() for m in _PAIRS.finditer(text) if m.end() - m.start() >= 3 * _FEWEST - 1]
    sizes = {b - a for a, b in found}
    if line.pieces or len(found) != 2 or len(sizes) != 1:
        return None
    if len(text[found[0][1] : found[1][0]]) < 2:
        return None
    octets = bytes.fromhex(re.sub("[^0-9A-Fa-f]", "", "".join([text[a:b] for a, b in found])))
    gutter = judge(octets, text[found[1][1] :])
    if gutter is not None and gutter.bits >= _SURE:
        return None  # one list: the characters behind it are those of both halves
    return _Beside(line, found[0], found[1], content)


BESIDE = Form(
    "two dumps beside each other",
    r"[0-9A-Fa-f]{2}(?:[ :\-][0-9A-Fa-f]{2}){3,}[ \t|:;/#<>\-]{2,}"
    r"(?:(?:0[xX])?[0-9A-Fa-f]{1,8}[\])]?[ \t]*[:|>= \t]+)?"
    r"[0-9A-Fa-f]{2}(?:[ :\-][0-9A-Fa-f]{2}){3}",
    begin,
    "00  02 00 5e 10 00 01 02 00  ||  02 00 5e 10 00 01 02 00\n"
    "08  5e 10 00 02 08 06        ||  5e 10 00 02 08 06\n",
)
