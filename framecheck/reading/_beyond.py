"""Lines right in front of a block's rows and behind them: what looks like one more, left out.

A row that the console broke is none to its block. Only a frame that is not whole, or that begins
as none, may go on in it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise, takewhile

from framecheck.core.frame import BROKEN_DIGITS, Doubt
from framecheck.core.span import Range
from framecheck.reading._block import Cells, Content, Found
from framecheck.reading._irregular import from_group
from framecheck.reading._reading import Stretch
from framecheck.reading._track import ETHERTYPES, MOST_OCTETS, SHORTEST, STRONG
from framecheck.reading._wanted import wanted

_NUMBERS = re.compile(r"(?:0[xXbo]|\\x)?[0-9A-Fa-f]+")
_MARKS = ",;[](){}\"'"
"""What stands around a list, and between its elements."""
_BLANKS = re.compile(r"\s+")
_ESCAPE = re.compile(r"\\x[0-9A-Fa-f]{2}|\\[0-7]{3}")
_LONGEST = 2000
_EVEN = ("decimal", "octal", "binary", "hex without", "string literals", "an address before")
"""Words of forms whose rows have equally many octets, but for the last."""
_HEADERS = "header by header"
_FEWEST = 4
"""Numbers of a line that looks like the first or the last half of a row."""
_LEAST = 2
"""Numbers of a line that is nothing but a row's first or last ones."""
_SAME = 6
"""Numbers with which a row begins that begins a dump like the one before."""
_HEAD = 34
"""Octets of two headers, by which the beginning of a frame is known."""
_MANY = 32
"""Octets of which one with another mark is a fault and no habit."""
_LENGTHS = 22
"""Octets up to and with the lengths of what follows a link header."""
_FEW = 4
"""Of so many rows, one that is printed otherwise is a fault and no habit."""


def beyond(found: Found, front: str, behind: str, content: Content | None) -> Found:
    """The rows of a block, doubted where they may go on in lines that look like theirs.

    ``front``, ``behind``: the lines right in front of them and behind them.
    """
    octets = b"".join([row.octets for row in found.rows])
    if content is None:
        return found
    first, last = found.rows[0].line, found.rows[-1].line
    texts = [found.rows[k].line.text for k in (0, min(1, len(found.rows) - 1), -1)]
    doubts = [*found.doubts, *_uneven(found)]
    about = {d.about for d in doubts}
    start, end = "where the dump starts", "where the dump ends"
    if start not in about and front and not begins(octets, content) and _is_like(front, texts):
        other = "further up: the line in front looks like a row"
        doubts.append(Doubt(start, "at its first line", other, True, first.number))
    if end not in about and behind and _goes_on(found, octets, behind, texts):
        other = "further on: the next line looks like a row"
        doubts.append(Doubt(end, "before this line", other, True, last.number + 1))
    doubtful = found.doubtful
    if found.words.startswith(_HEADERS):
        odd, ranges = odd_gap(found.rows)
        doubts.extend(odd)
        doubtful += ranges
    return found._replace(doubts=tuple(doubts), doubtful=doubtful)


def _uneven(found: Found) -> list[Doubt]:
    """A row, but not the last one, that has more or fewer octets than all others."""
    sizes = [len(row.octets) for row in found.rows[:-1]]
    usual = max(set(sizes), key=sizes.count, default=0)
    odd = [k for k, size in enumerate(sizes) if size != usual]
    if len(odd) != 1 or len(sizes) <= _LEAST or not found.words.startswith(_EVEN):
        return []
    if found.rows[odd[0]].line is found.rows[odd[0] + 1].line:
        return []
    taken, other = "as many as are printed", "more or fewer: all other rows have as many"
    return [Doubt("lost octets", taken, other, True, found.rows[odd[0]].line.number)]


def begins(octets: bytes, content: Content) -> bool:
    """Whether octets begin as a frame does, or state how many they are."""
    own = wanted(octets)
    no_header = own is None and octets[12:14] in ETHERTYPES and len(octets) >= _LENGTHS
    if from_group(octets) or no_header:
        return False
    return content(octets[:_HEAD]) >= STRONG or (own is not None and own <= len(octets))


def _goes_on(found: Found, octets: bytes, behind: str, texts: Sequence[str]) -> bool:
    """Whether a frame that is not whole may go on in the line behind its rows."""
    own, total = wanted(octets), len(octets)
    numbers = _NUMBERS.findall(behind[:_LONGEST])
    if own is not None and own <= total:
        if total >= SHORTEST or any(n.strip("0xX\\bo") for n in numbers[1:]):
            return False  # whole, or no padding
    elif own is None and (octets[12:14] not in ETHERTYPES or total >= SHORTEST):
        return False
    same = _alike(numbers, _NUMBERS.findall(texts[0][:_LONGEST]))
    if same >= _SAME or (same and _counted(found)):
        return False  # it begins as these rows do
    return _is_like(behind, texts)


def _counted(found: Found) -> bool:
    """Whether a number that is none of its octets begins each row, another one each time."""
    fronts = [row.line.text[: min(row.columns) - 1] for row in found.rows]
    numbers = [_NUMBERS.findall(front[:_LONGEST])[:1] for front in fronts]
    return all(numbers) and len(numbers) > 1 and numbers[0] != numbers[1]


def _is_like(text: str, rows: Sequence[str]) -> bool:
    """Whether a line looks like a part of one of these rows, or like one with a broken part."""
    text = text[:_LONGEST]
    if all(len(_ESCAPE.findall(t[:_LONGEST])) >= _LEAST for t in (text, *rows)):
        return True
    known = looks(text)
    if known.count("0") < _LEAST:
        return False
    for row in {looks(r[:_LONGEST]) for r in rows}:
        short, long = sorted((known, row), key=len)
        if short.count("0") >= _LEAST and (long.startswith(short) or long.endswith(short)):
            return True
        for a, b in ((known, row), (known[::-1], row[::-1])):
            same = _alike(a, b)
            if a[:same].count("0") >= _FEWEST and 2 * same >= len(row):
                return True
    return False


def _alike(one: Sequence[str], other: Sequence[str]) -> int:
    """With how many equal elements two sequences begin."""
    return sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(one, other, strict=False)))


def looks(text: str) -> str:
    """A line without blanks, with one zero for each number."""
    return _BLANKS.sub("", _NUMBERS.sub("0", text)).strip(_MARKS)


def displaced(found: Found) -> Found:
    """Octets that their contents alone prove, doubted where a group sends them."""
    if not from_group(b"".join([row.octets for row in found.rows])):
        return found
    line = found.rows[0].line.number
    other = "elsewhere: its source is a group address, which none is"
    doubt = Doubt("where the dump starts", "at its first octet", other, True, line)
    return found._replace(doubts=(*found.doubts, doubt), settled=True)


def above(first: int, octets: bytes, content: Content | None, line: int) -> tuple[Doubt, ...]:
    """That octets in front are not in the log, where their count says so, and no frame begins."""
    if content is None or not 0 < first < MOST_OCTETS or begins(octets, content):
        return ()
    taken = f"octets from offset {first} on; those before are not in the log"
    return (Doubt("first rows", taken, "a dump whose count starts there", True, line),)


def misaligned(rows: Sequence[Cells]) -> tuple[tuple[Doubt, ...], tuple[Range, ...]]:
    """A row whose numbers stand in other columns than all others', and those of its octets.

    A printer that fills its numbers up, with zeros or with blanks, puts them in columns.
    """
    cells = [list(zip(r.columns, r.ends, strict=True)) for r in rows]
    common = _columns(cells)
    if not common:
        return (), ()
    odd = [k for k, row in enumerate(cells) if _differs(row, common) is not None]
    if len(odd) != 1 and not 0 < len(odd) * _FEW <= len(rows):
        return (), ()
    straight = [b - a for k, row in enumerate(cells) if k not in odd for a, b in row]
    zeros = any(
        r.line.text[a - 1] == "0" and b - a > 1
        for r, row in zip(rows, cells, strict=True)
        for a, b in row
    )
    if len(set(straight)) == 1 and not zeros:
        return (), ()  # numbers of one width that nothing fills up
    doubtful = []
    before = 0
    for k, row in enumerate(rows):
        if k in odd:
            at = before + (_differs(cells[k], common) or 0)
            doubtful.append((max(before, at - 1), min(before + len(row.octets), at + 2)))
        before += len(row.octets)
    other = "others: the numbers of this row stand in other columns than all others"
    line = rows[odd[0]].line.number
    return (Doubt(BROKEN_DIGITS, "its octets, as printed", other, True, line),), tuple(doubtful)


def odd_gap(rows: Sequence[Cells]) -> tuple[tuple[Doubt, ...], tuple[Range, ...]]:
    """Numbers that are parted as no others are: something between them may be lost, or a digit."""
    seen: dict[str, list[tuple[int, int]]] = {}
    before = 0
    for row in rows:
        text = row.line.text
        for k, (end, start) in enumerate(zip(row.ends, row.columns[1:], strict=False), before):
            gap = _BLANKS.sub(" ", text[end - 1 : start - 1])
            seen.setdefault(gap, []).append((k, row.line.number))
        before += len(row.octets)
    odd = [places[0] for gap, places in seen.items() if len(places) == 1 and gap.strip()]
    if len(odd) != 1 or before < _MANY:
        return (), ()
    at, line = odd[0]
    other = "others: what parts two of them parts no others"
    return (Doubt(BROKEN_DIGITS, "numbers as printed", other, True, line),), ((at, at + 2),)


def _columns(cells: Sequence[list[Stretch]]) -> list[int]:
    """The columns in which the numbers of most rows end."""
    ends = [tuple([b for _, b in row]) for row in cells]
    most = max(ends, key=lambda e: (ends.count(e), len(e)))
    if len(most) < _FEWEST or len({b - a for a, b in pairwise(most)}) > _LEAST:
        return []
    same = sum(e == most[: len(e)] for e in ends)
    return list(most) if same * 3 >= len(ends) * 2 and ends.count(most) > 1 else []


def _differs(row: list[Stretch], ends: list[int]) -> int | None:
    """The first number of a row that ends in another column; None where all end in theirs."""
    return next((k for k, (a, b) in enumerate(zip(row, ends, strict=False)) if a[1] != b), None)
