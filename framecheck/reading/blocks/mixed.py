"""Groups of different sizes in one row: four, two and four octets, or as wide as their fields."""

from __future__ import annotations

import re

from framecheck.reading._block import MOST_LINES, Cells, Content, Form, Found
from framecheck.reading._lines import Line
from framecheck.reading._odd import odd_groups
from framecheck.reading._reading import Stretch

_GROUPS = re.compile(
    r"(?<![0-9A-Za-z_:.\-])(?:[0-9A-Fa-f]{2}){1,16}"
    r"(?:(?:[ \t]{1,3}|[ \t]?[|:\-,][ \t]?)(?:[0-9A-Fa-f]{2}){1,16}){2,}(?![0-9A-Za-z_:.\-])"
)
_GROUP = re.compile(r"[0-9A-Fa-f]+")
_OFFSET = re.compile(
    r"(?<![0-9A-Za-z_])(?:0[xX])?([0-9A-Fa-f]{1,8})[\])]?(?:[ \t]*[:|>=][ \t]*|[ \t]{2,})$"
)
_STRONG = 8.0
_FEW = 4
"""Rows of a layout of different sizes; in fewer of them, one odd group is rather a broken one."""


def _groups(text: str) -> tuple[str | None, list[Stretch], int] | None:
    """The offset, the longest list of groups, and where its row's front ends."""
    best: re.Match[str] | None = None
    for m in _GROUPS.finditer(text):
        if best is None or m.end() - m.start() > best.end() - best.start():
            best = m
    if best is None:
        return None
    spans = [(best.start() + g.start(), best.start() + g.end()) for g in _GROUP.finditer(best[0])]
    offset = _OFFSET.search(text[: spans[0][0]])
    if offset:
        return offset[1], spans, offset.start(1)
    first, second = spans[:2]
    if ":" in text[first[1] : second[0]] and first[1] - first[0] in (4, 6, 8):
        # ``0010: 0800``: what a colon sets apart in front is no octet.
        return text[first[0] : first[1]], spans[1:], first[0]
    return None, spans, spans[0][0]


class _Mixed:
    """Rows of groups of different sizes, so far."""

    def __init__(self, line: Line, content: Content | None) -> None:
        self.held: list[Line] = []
        self.rows: list[Cells] = []
        self.content = content
        self.offset: str | None = None
        self.bases = [16, 10]
        self.total = self.size = 0
        self.sizes: list[int] = []
        self.lead = ""

    @property
    def lines(self) -> list[Line]:
        """All lines that are held."""
        return self.held

    def take(self, line: Line) -> bool:
        """Whether the line goes on with the block."""
        found = _groups(line.text)
        if found is None:
            found = self._short(line.text)
        if found is None or len(self.held) >= MOST_LINES:
            return False
        offset, spans, front = found
        sizes = [b - a for a, b in spans]
        if not self.held:
            # Offsets stand in front and short groups at the end of rows of one size, too.
            if len(set(sizes[:-1])) < 2 or len(set(sizes[2:-1])) < 2:
                return False
            self.offset, self.sizes, self.lead = offset, sizes, line.text[:front]
        else:
            if self.offset is None or offset is None or sizes[:-1] != self.sizes[: len(sizes) - 1]:
                return False
            bases = [b for b in self.bases if self._counts(offset, b)]
            if not bases or self.total % self.size:
                return False
            self.bases = bases
        octets = bytearray()
        columns: list[int] = []
        for a, b in spans:
            octets += bytes.fromhex(line.text[a:b])
            columns.extend(range(a + 1, b + 1, 2))
        self.held.append(line)
        ends = tuple([c + 2 for c in columns])
        self.rows.append(Cells(line, bytes(octets), tuple(columns), ends))
        self.size = self.size or len(octets)
        self.total += len(octets)
        return True

    def _short(self, text: str) -> tuple[str | None, list[Stretch], int] | None:
        """A last row of one or two groups."""
        if self.offset is None or not text.startswith(self.lead):
            return None
        spans = [
            m.span() for m in re.finditer(r"(?<![0-9A-Za-z])[0-9A-Fa-f]+(?![0-9A-Za-z])", text)
        ]
        spans = [s for s in spans if s[0] >= len(self.lead)]
        if not 2 <= len(spans) <= 4 or any((b - a) % 2 for a, b in spans[1:]):
            return None
        return text[spans[0][0] : spans[0][1]], spans[1:], spans[0][0]

    def _counts(self, digits: str, base: int) -> bool:
        try:
            return int(digits, base) == int(self.offset or "", base) + self.total
        except ValueError:
            return False

    def found(self) -> list[Found]:
        """The dump: offsets that count, or contents, say that it is one."""
        octets = b"".join([row.octets for row in self.rows])
        rows = len(self.rows)
        if len(octets) < 14:
            return []
        if rows < 2 and (self.content is None or self.content(octets) < _STRONG):
            return []
        proof = min(14.0, 5.0 + 2.0 * (rows - 1)) if rows > 1 else 4.0
        name = "groups of different sizes"
        odd = odd_groups(self.rows[0].columns, self.held[0].number) if rows < _FEW else None
        doubts, doubtful = ((odd[0],), odd[1]) if odd else ((), ())
        return [Found(tuple(self.rows), name, proof, doubts, self.lead, doubtful)]


def begin(line: Line, content: Content | None) -> _Mixed | None:
    """A block whose first line is a list of groups of different sizes."""
    block = _Mixed(line, content)
    return block if block.take(line) else None


MIXED = Form(
    "groups of different sizes",
    r"(?<![0-9A-Za-z_:.\-])(?:[0-9A-Fa-f]{2}){1,16}(?:[ |:\-,]{1,3}(?:[0-9A-Fa-f]{2}){1,16}){2}",
    begin,
    "0000: 02005e10 0001 0200 5e100002 0806\n",
)
