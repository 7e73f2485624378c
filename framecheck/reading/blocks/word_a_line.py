"""One word of memory a line, behind the same words each time: what a FIFO gave, pop by pop.

A number in front that counts on, or none. Which octet of a word came first, the contents say; a
list of words whose contents begin no frame is a table of registers.
"""

from __future__ import annotations

import re
from difflib import SequenceMatcher
from itertools import pairwise

from framecheck.core.frame import Doubt
from framecheck.reading._block import MOST_LINES, Cells, Content, Form, Found, part_word
from framecheck.reading._lines import Line
from framecheck.reading._track import SHORTEST, STRONG
from framecheck.reading._wanted import wanted

_FRONT = r"(?<=[ \t:=>\])(|,])(?:0[xX]|\$|#)?"
_TAIL = r"(?P<tail>[^0-9A-Za-z]*|[ \t]*(?:[ \t]{2}|[ \t][;#(\[{<]|//|,[ \t])[^\n]{0,40})$"
"""Nothing, or a remark that stands apart: what is left, a state."""
_WORD = re.compile(rf"{_FRONT}(?P<word>(?:[0-9A-Fa-f]{{4}}){{1,4}}){_TAIL}").search
_PART = re.compile(rf"{_FRONT}(?P<word>(?:[0-9A-Fa-f]{{2}}){{1,7}}){_TAIL}").search
"""The octets that are left for the last line."""
_BROKEN = re.compile(rf"{_FRONT}(?P<word>[0-9A-Fa-f]+){_TAIL}").search
"""What is left of such a line when digits are lost or doubled."""
_OFFSET = re.compile(
    r"(?<![0-9A-Za-z_])(?:0[xX][0-9A-Fa-f]+|[0-9A-Fa-f]{3,})[\])]?[ \t:|>]*$"
).search
"""What stands in front of rows like any others."""
_NUMBER = re.compile(r"0[xX][0-9A-Fa-f]+|(?<![A-Za-z])[0-9][0-9A-Fa-f]*(?![A-Za-z])|\d+")
_GROUP = re.compile(r"(?<![0-9A-Za-z])(?:0[xX])?([0-9A-Fa-f]+)(?![0-9A-Za-z])")
_COUNT = re.compile(r"(?<![0-9A-Za-z.])\d{1,6}(?![0-9A-Za-z.])")
_BLANKS = re.compile(r"\s+")
_LONGEST = 160
_FEWEST = 14
_HEAD = 64
"""Octets by which the beginning of a frame is known."""
_REACH = 1536
"""Octets behind a frame within which the next one's head is looked for."""
_ALIKE = 0.8
_MOST_FOREIGN = 2
"""Other lines between two words."""


_Word = tuple[Line, tuple[int, int]]
"""A line, and where its word stands."""


class _Words:
    """Lines with one word each, so far."""

    def __init__(self, line: Line, m: re.Match[str], content: Content) -> None:
        self.held = [line]
        self.rows = [(line, m.span("word"))]
        self.lead = line.text[: m.start("word")]
        self.front = _front(self.lead)
        self.tail = _front(m["tail"])
        self.size = len(m["word"])
        self.content = content
        self.foreign = 0
        self.ended = False
        self.broken: list[int] = []
        """Lines between the words that look like one with lost digits."""

    @property
    def lines(self) -> list[Line]:
        """All lines that are held."""
        return self.held

    def take(self, line: Line) -> bool:
        """Whether the line goes on with the block."""
        if self.ended or len(self.held) >= MOST_LINES or len(line.text) > _LONGEST:
            return False
        text = line.text
        if len(self.rows) == 1 and any(c not in text for c in self.front):
            return False
        m = _WORD(text) or _PART(text)
        like = m is not None and _front(text[: m.start("word")]) == self.front
        like = like and m is not None and _front(m["tail"]) == self.tail
        if m is not None and like and len(m["word"]) <= self.size:
            self.rows.append((line, m.span("word")))
            self.foreign = 0
            self.ended = len(m["word"]) < self.size
        elif len(self.rows) > 1 and self.foreign < _MOST_FOREIGN:
            self.foreign += 1
            m = _BROKEN(text)
            if m is not None and _like(_front(text[: m.start("word")]), self.front):
                self.broken.append(line.number)
        else:
            return False
        self.held.append(line)
        return True

    def found(self) -> list[Found]:
        """The dumps, when the words begin a frame in one of the two orders."""
        out: list[Found] = []
        rows = self.rows
        while len(rows) * self.size // 2 >= _FEWEST:
            count, dump = self._one(rows)
            if dump is None:
                break
            out.append(dump)
            rows = rows[count:]
        return out

    def _one(self, rows: list[_Word]) -> tuple[int, Found | None]:
        """The dump that begins with the first of these rows, and how many of them it has."""
        size = self.size // 2
        head = [_octets(row) for row in rows[: 128 // size]]
        said = [self.content(b"".join(w)[:_HEAD]) for w in (head, [w[::-1] for w in head])]
        little = said[1] > said[0]
        if max(said) < 2 * STRONG:
            return 0, None
        step = -1 if little else 1
        own = wanted(b"".join([word[::step] for word in head]))
        count = self._next(rows, max(own or 0, SHORTEST), step)
        cells = []
        for row in rows[:count]:
            line, (a, b) = row
            word, columns = _octets(row)[::step], tuple(range(a + 1, b, 2))[::step]
            cells.append(Cells(line, word, columns, tuple([c + 2 for c in columns])))
        name = f"one word of {size} octets a line"
        doubts = self._lost(rows[:count])
        if min(said) >= STRONG:
            orders = ("low octet first", "high octet first")
            doubts += (Doubt("octet order", orders[not little], orders[little], True),)
        said_order = ", low octet first" if little else ""
        found = Found(tuple(cells), f"{name}{said_order}", max(said), doubts, self.lead)
        octets = b"".join([row.octets for row in cells])
        doubts += part_word(octets, own, size, cells[-1].line.number)
        return count, found._replace(settled=bool(found.doubts), word=size, doubts=doubts)

    def _lost(self, rows: list[_Word]) -> tuple[Doubt, ...]:
        """Doubts about words that are not there: broken lines, and counts that skip some."""
        first, last = rows[0][0].number, rows[-1][0].number
        places = [n for n in self.broken if first < n <= last + 1] + _skipped(rows)
        return tuple(
            Doubt("lost lines", "the words that are whole", "one more here", True, place)
            for place in sorted(places)[:1]
        )

    def _next(self, rows: list[_Word], own: int, step: int) -> int:
        """Behind how many rows the next frame begins: where one's head stands; else all."""
        size = self.size // 2
        first = -(-own // size)
        for count in range(first, min(len(rows), first + _REACH // size)):
            head = [_octets(row)[::step] for row in rows[count : count + _HEAD // size]]
            if self.content(b"".join(head)) >= 2 * STRONG:
                return count
        return len(rows)


def _octets(row: _Word) -> bytes:
    line, (a, b) = row
    return bytes.fromhex(line.text[a:b])


def _skipped(rows: list[_Word]) -> list[int]:
    """Lines at which a number in front, which else counts on by one step, does not."""
    counts = [[int(n) for n in _COUNT.findall(line.text[:a])] for line, (a, _) in rows]
    found: list[int] = []
    for column in range(min(map(len, counts), default=0)):
        steps = [b[column] - a[column] for a, b in pairwise(counts)]
        step = max(set(steps), key=steps.count, default=0)
        if step > 0 and steps.count(step) * 4 >= len(steps) * 3:
            found += [rows[i + 1][0].number for i, s in enumerate(steps) if s != step]
    return found


def _front(lead: str) -> str:
    """What stands in front of a word, numbers and blanks aside."""
    return _BLANKS.sub("", _NUMBER.sub("", lead))


def _like(front: str, known: str) -> bool:
    """Whether a front is the known one but for a character or two that the console took."""
    return front == known or SequenceMatcher(None, front, known).ratio() >= _ALIKE


def begin(line: Line, content: Content | None) -> _Words | None:
    """A block whose first line holds one word behind other words."""
    if content is None or len(line.text) > _LONGEST:
        return None
    m = _WORD(line.text)
    lead = line.text[: m.start()] if m is not None else ""
    if m is None or _OFFSET(lead) or not any(c.isalpha() for c in lead):
        return None
    if any(len(digits) >= len(m["word"]) for digits in _GROUP.findall(m["tail"])):
        return None  # a row of words
    return _Words(line, m, content)


WORDS = Form(
    "one word a line",
    r"[ \t:=>\])(|,](?:0[xX]|\$|#)?(?:[0-9A-Fa-f]{4}){1,4}"
    r"(?:[^0-9A-Za-z]{0,4}|[ \t]*(?:[ \t]{2}|[ \t][;#(\[{<]|//|,[ \t])[^\n]{0,40})$",
    begin,
    "fifo pop 0x02005e10\nfifo pop 0x00010200\nfifo pop 0x5e100002\nfifo pop 0x08060001\n"
    "fifo pop 0x08000604\nfifo pop 0x00010200\nfifo pop 0x5e100002\nfifo pop 0xc0000201\n"
    "fifo pop 0x00000000\nfifo pop 0x0000c000\nfifo pop 0x0202\n",
)
