"""``[0x0000]:0200 [0x0002]:5E10``: each group of octets, or list of them, behind its address."""

from __future__ import annotations

import re
from itertools import pairwise

from framecheck.core.frame import Doubt
from framecheck.reading._beyond import above
from framecheck.reading._block import Cells, Content, Form, Found
from framecheck.reading._lines import Line

_MARK = r"(?:0[xX]|16#|\d{1,2}'[hH]|&[hH]|\$|#[xX])?"
"""What a language puts in front of a number in hex."""
_PAIR = re.compile(
    r"(?<![0-9A-Za-z_.:])(?:[A-Za-z_]{1,16}[ \t]?(?=[\[( \d]|(?<= )))?[\[(<@#]?(?:0[xX])?"
    r"([0-9A-Fa-f]{1,8})(?:[ ]?(?:-{1,2}|\.{2,3})[ ]?(?:0[xX])?[0-9A-Fa-f]{1,8})?"
    r"(?:[\])>]?[ \t]*(?:=>|[:=]|->)|[\])>])[ \t]*"
    + _MARK
    + r"([0-9A-Fa-f]{2}(?: [0-9A-Fa-f]{2})+|[0-9A-Fa-f]{2}|[0-9A-Fa-f]{4}|[0-9A-Fa-f]{8})"
    r"[hH#]?(?![0-9A-Za-z_:#])"
)
"""A number, or from where to where it goes, and the octets that stand there."""

_WORDS = "an address before each group"
_FEW = 2
"""Gaps between lists of one line that may be those of lines that run together."""


class _Pairs:
    """Lines of addresses and groups, so far."""

    def __init__(self, line: Line, step: int, bases: list[int], content: Content | None) -> None:
        self.content = content
        self.first: dict[int, int] = {}
        """The first address, in each base."""
        self.held: list[Line] = []
        self.rows: list[Cells] = []
        self.step, self.bases = step, bases
        self.expected: dict[int, int] | None = None
        self.size = 0
        self.ended = False
        self.take(line)

    @property
    def lines(self) -> list[Line]:
        """All lines that are held."""
        return self.held

    def take(self, line: Line) -> bool:
        """Whether the line goes on with the block."""
        pairs = [] if self.ended else list(_PAIR.finditer(line.text))
        if not pairs:
            return False
        octets = bytearray()
        columns: list[int] = []
        expected, bases = self.expected, self.bases
        for m in pairs:
            addresses = {b: _number(m[1], b) for b in bases}
            self.first = self.first or {b: a or 0 for b, a in addresses.items()}
            if expected is not None:
                bases = [b for b in bases if addresses[b] == expected[b]]
            if not bases:
                return False
            size = _size(m)
            if self.size and size > self.size:
                return False
            self.size = self.size or size
            expected = {b: (addresses[b] or 0) + self.step for b in bases}
            octets += bytes.fromhex(m[2])
            columns.extend(range(m.start(2) + 1, m.end(2) + 1, 3 if " " in m[2] else 2))
            self.ended = size < self.size
        self.expected, self.bases = expected, bases
        self.held.append(line)
        ends = tuple([c + 2 for c in columns])
        self.rows.append(Cells(line, bytes(octets), tuple(columns), ends))
        return True

    def found(self) -> list[Found]:
        """The dump, if there are enough."""
        if sum(len(row.octets) for row in self.rows) < 14:
            return []
        lead = self.rows[0].line.text[: self.rows[0].columns[0] - 1]
        torn = self._torn
        octets = b"".join([row.octets for row in self.rows])
        line = self.rows[0].line.number
        doubts = above(self.first[self.bases[0]], octets, self.content, line)
        doubts += (_joined(torn),) if torn else ()
        return [Found(tuple(self.rows), _WORDS, 14.0, doubts, lead, settled=bool(doubts))]

    @property
    def _torn(self) -> Line | None:
        """The only line with marks between its lists with which no list begins or ends."""
        odd = [line for line in self.held if any(_marks(line.text))]
        few = len(odd) == 1 and len(_marks(odd[0].text)) <= _FEW
        return odd[0] if few else None


def _marks(text: str) -> list[str]:
    """What stands between the lists of a line, but for blanks and usual marks."""
    pairs = pairwise(_PAIR.finditer(text))
    return [text[a.end() : b.start()].strip(" \t,;|") for a, b in pairs]


def _joined(line: Line) -> Doubt:
    other = "two rows that run together, with the end of one and the start of the next lost"
    return Doubt("where octets begin", "as printed behind each address", other, True, line.number)


def begin(line: Line, content: Content | None) -> _Pairs | None:
    """A block whose first line has at least two pairs with addresses that count on."""
    pairs = list(_PAIR.finditer(line.text))
    if len(pairs) < 2:
        return None
    size = _size(pairs[0])
    for step in (1, size):
        bases = [b for b in (16, 10) if _counts([_number(m[1], b) for m in pairs], step)]
        if bases:
            return _Pairs(line, step, bases, content)
    return None


def _size(m: re.Match[str]) -> int:
    """Octets behind one address."""
    return len(m[2].replace(" ", "")) // 2


def _number(digits: str, base: int) -> int | None:
    try:
        return int(digits, base)
    except ValueError:
        return None


def _counts(addresses: list[int | None], step: int) -> bool:
    return all(a is not None and b is not None and b - a == step for a, b in pairwise(addresses))


PAIRS = Form(
    "address and value pairs",
    _PAIR.pattern.replace("(", "(?:").replace("(?:?", "(?")
    + r"[ \t,;|]*%?(?:[A-Za-z_]{1,16}[ \t]?)?[\[(<@#]?(?:0[xX])?[0-9A-Fa-f]",
    begin,
    "[0x0000]:0200 [0x0002]:5E10 [0x0004]:0001 [0x0006]:0200\n"
    "[0x0008]:5E10 [0x000a]:0002 [0x000c]:0806\n",
)
