"""Octets in a layout that nobody described: read from like lines where their contents prove them.

Lines that no dump took are put beside those that have the same letters. Which numbers of them are
octets, in which notation and order, is tried; a way to read them counts only where it gives a
frame whose own header is beyond doubt.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import accumulate

from framecheck.core.frame import BROKEN_DIGITS, Doubt
from framecheck.core.text import Row
from framecheck.reading._block import Cells, Found, part_word
from framecheck.reading._lines import Line
from framecheck.reading._track import ETHERTYPES, SHORTEST, STRONG, Content
from framecheck.reading._wanted import has_fcs, wanted
from framecheck.reading._ways import FEWEST, Number, Placed, Way, numbers_of, ways

Give = Callable[[Found, Sequence[str], str], None]
"""Takes a dump, the lines in front of it, and the one behind it."""
Say = Callable[[int, int, int], None]
"""Takes the first line, the last one, and about how many octets they hold."""
_LETTERS = str.maketrans("", "", "".join(map(chr, range(0x20, 0x47))) + "[\\]^_`abcdefxXhH{|}~\t")
"""Takes away all but letters that are no digits, nor marks of a notation."""
_LONGEST = 6000
_MOST_LINES = 70_000
_MOST_KINDS = 24
_MOST_TRIED = 2000
"""Lines in which a way to read them is looked for."""
_MOST_HELD = 256
_MOST_NEAR = 512
_FRONT = 3
"""Lines in front of a dump that say its length."""
_MOST_TAKEN = 100_000
_GAP = 24
"""Lines behind the last one of a kind within which one more may come, or be found to be none."""
_APART = 4
"""Lines from one row of a dump to the next, at the most."""
_HEAD = 128
_FCS = 4
_MOST_COLUMNS = 8
_MANY = 14
_FEW = 2
"""Gaps between numbers that are a fault and no habit."""
_PARTING = " \t|-:/"
"""What parts the halves of a row."""
_VALUES = 8
"""Values of octets one a line that are no list of a device's states."""


class _Kind:
    """Lines with the same letters, so far."""

    def __init__(self, line: Line, front: tuple[str, ...]) -> None:
        self.lines = [line]
        self.last = line.number
        self.front = {line.number: front}
        """What stands in front of the first line."""


class Proven:
    """The last lines that no dump took, by kind.

    ``give`` takes the dumps that are found, ``say`` lines that hold as many octets and are none.
    """

    def __init__(self, content: Content | None, give: Give, say: Say) -> None:
        self._content = content
        self._give = give
        self._say = say
        self._kinds: dict[str, _Kind] = {}
        self._held: list[Line] = []
        self._size = 0
        """Characters of the lines that are held."""
        self._near: deque[Line] = deque(maxlen=_MOST_NEAR)
        self._taken: set[int] = set()
        """Lines of the dumps that were found."""

    def look(self, line: Line) -> None:
        """One more line that no dump has."""
        self._held.append(line)
        self._size += len(line.text)
        if len(self._held) >= _MOST_HELD or self._size >= _LONGEST:
            self._sort()

    def read(self, rows: Sequence[Row]) -> None:
        """A dump has these lines: they are no others', and what stands in front of it is over."""
        if self._size < 2 * FEWEST and not self._kinds:
            self._held.clear()  # a heading or two: most dumps have no more between them
            self._size = 0
            return
        self._sort()
        first = rows[0].line
        for letters, kind in list(self._kinds.items()):
            if kind.last < first:
                self._end(self._kinds.pop(letters))
                continue
            taken = {row.line for row in rows}
            kind.lines = [line for line in kind.lines if line.number not in taken]
            if not kind.lines:
                del self._kinds[letters]

    def close(self) -> None:
        """The log is over."""
        self._sort()
        for letters in list(self._kinds):
            self._end(self._kinds.pop(letters))

    def _sort(self) -> None:
        """Put the lines that are held to their kinds."""
        held, self._held, self._size = self._held, [], 0
        for line in held:
            if len(line.text) <= _LONGEST and not line.pieces:
                self._near.append(line)
                self._add(line)

    def _add(self, line: Line) -> None:
        letters = _letters(line)
        kind = self._kinds.get(letters)
        if kind is not None and abs(line.number - kind.last) <= _GAP:
            if len(kind.lines) < _MOST_LINES:
                kind.lines.append(line)
            kind.last = max(kind.last, line.number)
            return
        if kind is not None:
            self._end(self._kinds.pop(letters))
        elif len(self._kinds) >= _MOST_KINDS:
            self._end(self._kinds.pop(min(self._kinds, key=lambda k: self._kinds[k].last)))
        self._kinds[letters] = _Kind(line, self._front(line.number))

    def _front(self, number: int) -> tuple[str, ...]:
        """The lines in front of this one."""
        near = {x.number: x.text for x in self._near if number - _FRONT <= x.number < number}
        return tuple([near[n] for n in sorted(near)])

    def _end(self, kind: _Kind) -> None:
        if len(kind.lines) * len(kind.lines[0].text) < FEWEST:
            return  # most kinds are a heading or two
        kind.lines.sort(key=lambda line: line.number)
        for lines in _together(kind.lines):
            size = sum(len(line.text) for line in lines)
            if size < 2 * FEWEST or self._frames(lines, kind.front):
                continue
            numbers = numbers_of(lines)
            if _alike(numbers):
                self._say(lines[0].number, lines[-1].number, sum(map(len, numbers)))

    def surely(self, lines: list[Line]) -> bool:
        """Give out the frames that these lines hold if nothing in them is left to doubt."""
        self._sort()
        return self._frames(lines, {}, surely=True)

    def _frames(
        self, lines: list[Line], front: Mapping[int, tuple[str, ...]], *, surely: bool = False
    ) -> bool:
        """Give out the frames that these lines hold; whether there is one.

        ``front``: what stands in front of lines, where more of them follow than are kept.
        """
        lines_of = {line.number: line for line in lines}  # one may have been weighed twice
        lines = [lines_of[n] for n in sorted(lines_of) if n not in self._taken]
        numbers = numbers_of(lines)
        if self._content is None or sum(map(len, numbers)) < FEWEST // 4:
            return False
        best: tuple[bool, float, list[Found]] | None = None
        size = len(lines)
        for way, cells in ways(numbers[:_MOST_TRIED]):
            octets = way.octets(cells)
            if sum(map(len, octets)) < FEWEST:
                continue
            bits, starts = _starts(octets, self._content)
            if bits < 2 * STRONG or (best and best[0] and bits <= best[1]):
                continue
            rows = way.rows(lines, numbers)
            if size > _MOST_TRIED:
                _, starts = _starts([row.octets for row in rows], self._content)
            stops = [*starts[1:], len(rows)]
            found = [_found(rows[a:b], way, bits) for a, b in zip(starts, stops, strict=True)]
            sure = not any(dump.settled for dump in found)
            if not sure and bits < 3 * STRONG:
                continue  # so many ways are tried that words of chance have a header in one
            if best is None or (sure, bits) > best[:2]:
                best = sure, bits, found
        if best is None or (surely and not best[0]):
            return False
        for dump in best[2]:
            if len(self._taken) > _MOST_TAKEN:
                self._taken.clear()
            self._taken.update(row.line.number for row in dump.rows)
            first, last = dump.rows[0].line.number, dump.rows[-1].line.number
            behind = next((x.text for x in self._near if x.number == last + 1), "")
            self._give(dump, front.get(first) or self._front(first), behind)
        return True


def _together(lines: list[Line]) -> Iterator[list[Line]]:
    """Lines that stand close together."""
    start = 0
    for k in range(1, len(lines) + 1):
        if k == len(lines) or lines[k].number - lines[k - 1].number > _APART:
            yield lines[start:k]
            start = k


def _starts(rows: list[bytes], content: Content) -> tuple[float, list[int]]:
    """Bits of the best header in these rows, and with which of them frames begin."""
    stream = b"".join(rows)
    at = 0
    places: dict[int, int] = {}
    for k, row in enumerate(rows):
        if row:
            places.setdefault(at, k)
        at += len(row)
    best, starts, behind = 0.0, list[int](), 0
    for start, k in places.items():
        kind = stream[start + 12 : start + 14]
        if start < behind or len(kind) < 2 or (start and kind not in ETHERTYPES):
            continue
        head = stream[start : start + _HEAD]
        own = wanted(head)
        if start and own is None:
            continue
        bits = content(head)
        if bits < 2 * STRONG:
            continue
        starts.append(k)
        best = max(best, bits)
        behind = start + (own or 0)
    return best, starts


def _found(rows: list[Placed], way: Way, bits: float) -> Found:
    """The dump that these rows are, from the first to where its own length or a gap ends it."""
    every, rows = rows, [row for row in rows if row.octets]
    octets = b"".join([row.octets for row in rows])
    own = wanted(octets[:_HEAD])
    first = rows[0].line.number
    doubts = []
    if own is None or len(octets) < own:
        other = "elsewhere: its own header does not say that it is whole"
        doubts.append(Doubt("where the dump ends", "at its last line", other, True, first))
    else:
        count = _last(rows, octets, own, way.word)
        if count is None:
            ends = accumulate(len(row.octets) for row in rows)
            count = 1 + sum(end < own for end in ends)
            other = "further on: such lines go on behind it"
            doubts.append(
                Doubt("where the dump ends", "where its own header says", other, True, first)
            )
        rows = rows[:count]
    if way.word and way.part != slice(0, None):
        # Words of a line that are none of the frame may be those that hide where some are lost.
        other = "more: words like these stand beside them, and are left out"
        doubts.append(Doubt("which numbers are octets", "part of each line", other, True, first))
    if _marked_otherwise(rows[0]):
        other = "further on: its mark is another than that of all others"
        doubts.append(Doubt("where octets begin", "with the first number", other, True, first))
    sizes = {len(row.octets) for row in rows[:-1]}
    firsts = accumulate((len(row.octets) for row in rows), initial=0)
    odd = [at + k for at, row in zip(firsts, rows, strict=False) for k in _odd_marks(row)]
    if odd:
        other = "parts of numbers: the mark in front of one is another than that of all others"
        doubts.append(Doubt(BROKEN_DIGITS, "numbers as printed", other, True, first))
    if len(sizes) > 1 or len({_like_an_address(row) for row in rows}) > 1 or _left_out(every, rows):
        other = "lines that lost octets, have too many, or are of something else"
        doubts.append(Doubt("rows of one dump", "as printed", other, True, first))
    cells = tuple([Cells(*row) for row in rows])
    lead = rows[0].line.text[: min(rows[0].columns) - 1]
    settled = bool(doubts)
    octets = b"".join([row.octets for row in rows])
    doubts.extend(part_word(octets, own, way.word, rows[-1].line.number))
    doubtful = tuple([(k, k + 1) for k in odd])
    word = way.word
    return Found(cells, way.says(), bits, tuple(doubts), lead, doubtful, word=word, settled=settled)


def _like_an_address(row: Placed) -> bool:
    """Whether the numbers of a row are joined as those of a hardware address are."""
    gaps = zip(row.ends, row.columns[1:], strict=False)
    return {row.line.text[a - 1 : b - 1] for a, b in gaps} in ({":"}, {"-"}, {":", " "}, {"-", " "})


def _marked_otherwise(row: Placed) -> bool:
    """Whether all numbers of a row but its first have the same mark in front."""
    text = row.line.text
    first, *others = [text[max(0, c - 3) : c - 1] for c in row.columns]
    marks = set(others)
    return len(marks) == 1 and first not in marks and any(c in "xX\\$#" for c in others[0])


def _odd_marks(row: Placed) -> list[int]:
    """The one or two numbers of a row that have a mark in front that no others have."""
    text = row.line.text
    gaps = [text[b - 1 : a - 1] for b, a in zip(row.ends, row.columns[1:], strict=False)]
    if len(gaps) < _MANY:
        return []
    usual, often = Counter(gaps).most_common(1)[0]
    odd = [k for k, gap in enumerate(gaps, 1) if gap.strip(_PARTING + usual)]
    return odd if often >= len(gaps) - _FEW else []


def _left_out(every: Sequence[Placed], rows: Sequence[Placed]) -> bool:
    """Whether lines among these rows hold numbers, none of which is an octet."""
    first, last = rows[0].line.number, rows[-1].line.number
    return any(
        first < row.line.number < last
        and not row.octets
        and any(c.isdigit() for c in row.line.text)
        for row in every
    )


def _last(rows: list[Placed], octets: bytes, own: int, size: int) -> int | None:
    """Behind how many rows the frame is over; None where others like them go on behind its end.

    Padding may stand there, an FCS, or the rest of a word of so many octets.
    """
    kinds = {_letters(row.line) for row in rows[:2]}
    total = 0
    for count, row in enumerate(rows, 1):
        total += len(row.octets)
        behind = octets[own:total]
        over = total == own or (not any(behind) and total == SHORTEST)
        over = over or 0 < total - max(own, SHORTEST) < size or 0 < total - own < size
        over = over or (len(behind) >= _FCS and has_fcs(octets[:total]))
        if over and total >= own:
            rest = rows[count:]
            if not rest or (count > 1 and {_letters(r.line) for r in rest}.isdisjoint(kinds)):
                return count
    return None


def _letters(line: Line) -> str:
    """The letters of a line that are no digits, each once."""
    return "".join(dict.fromkeys(line.text.translate(_LETTERS)))


def _alike(numbers: list[list[Number]]) -> bool:
    """Whether lines with a few numbers each hold octets in one column, by their digits alone."""
    if len(numbers) < FEWEST:
        return False
    columns = zip(*(row[:_MOST_COLUMNS] for row in numbers[:-1]), strict=False)
    return any(_octets([n.digits for n in column]) for column in columns)


def _octets(column: list[str]) -> bool:
    hexadecimal = all(len(d) == 2 for d in column) and any(c > "9" for d in column for c in d)
    return hexadecimal and len(set(column)) >= _VALUES
