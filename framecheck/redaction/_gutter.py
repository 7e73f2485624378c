"""The gutter of a row, written anew from the new octets."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from framecheck.reading.traits.gutter import before, judge
from framecheck.redaction._marks import Shown, as_there, shown


class Written(NamedTuple):
    """Characters of a line that change."""

    start: int
    stop: int
    text: str


class Row(NamedTuple):
    """The octets of one line in the order in which they are printed."""

    old: bytes
    new: bytes
    frame_old: bytes
    frame_new: bytes
    first: int
    """Where their digits begin, counted from 0."""
    stop: int


class Gutter(NamedTuple):
    """Where a row's gutter stands, and what changes in it."""

    start: int
    stop: int
    changes: tuple[Written, ...]


def gutter(line: str, row: Row) -> Gutter | None:
    """The row's gutter; None when it has none."""
    behind = shown(line, row.stop)
    rest = behind.text
    orders = ((row.frame_old, row.frame_new), (row.old, row.new))
    judged = [(judge(old, rest) if rest else None, old, new) for old, new in orders]
    known = [(g.bits, g, old, new) for g, old, new in judged if g is not None]
    if known:
        _, found, old, new = max(known, key=lambda k: k[0])
        start, stop = len(found.opening), len(rest) - len(found.closing)
        other = found.other or "."  # where every octet has a character
        return _placed(line, behind, (start, stop), (old, new), found.gaps, other)
    front = shown(line, 0, row.first)
    for old, new in orders:
        left = before(old, front.text)
        if left is not None:
            gaps = (len(old) // 2,) if left[1] - left[0] > len(old) else ()
            other = _other(old, front.text[slice(*left)], gaps)
            return _placed(line, front, left, (old, new), gaps, other)
    return None


def short(line: str, start: int, row: Row) -> Gutter | None:
    """A short row's gutter, where those of other rows begin: too little to be told by itself."""
    for old, new in ((row.frame_old, row.frame_new), (row.old, row.new)):
        there = line[start : start + len(old)]
        same = [ord(c) == o for c, o in zip(there, old, strict=False) if 32 < o < 127]
        if len(there) == len(old) and same and all(same):
            return Gutter(
                start, start + len(old), tuple(_exchanged(old, new, start, there, (), "."))
            )
    return None


def _placed(
    line: str,
    there: Shown,
    stretch: tuple[int, int],
    octets: tuple[bytes, bytes],
    gaps: Sequence[int],
    other: str,
) -> Gutter | None:
    start, stop = stretch
    if start >= stop:
        return None
    changes = []
    for one in _exchanged(*octets, start, there.text[start:stop], gaps, other):
        first, last = there.starts[one.start], there.stops[one.stop - 1]
        changes.append(Written(first, last, as_there(one.text, line[first:last])))
    return Gutter(there.starts[start], there.stops[stop - 1], tuple(changes))


def _other(old: bytes, shown: str, gaps: Sequence[int]) -> str:
    """What stands for octets that have no printable character."""
    plain = "".join(c for i, c in enumerate(shown) if not (gaps and i == gaps[0]))
    marks = [c for c, o in zip(plain, old, strict=False) if not 32 <= o < 127]
    return max(set(marks), key=lambda c: (marks.count(c), c)) if marks else "."


def _exchanged(
    old: bytes, new: bytes, start: int, shown: str, gaps: Sequence[int], other: str
) -> Iterator[Written]:
    foreign = {c for c in shown if not c.isascii()}
    at = 0
    for k, (before_, after) in enumerate(zip(old, new, strict=True)):
        if k in gaps:
            at += 1
        if at >= len(shown):
            return
        c = shown[at]
        kept = _character(c, before_, after, other, len(foreign) == 1)
        if kept != c:
            yield Written(start + at, start + at + 1, kept)
        at += 1


def _character(c: str, old: int, new: int, other: str, one: bool) -> str:
    """What stands for the new octet where ``c`` stood for the old one."""
    printable = 32 <= new < 127
    if ord(c) == old:
        return chr(new) if printable or (0xA1 <= new <= 0xFF and not c.isascii()) else other
    if not 32 <= old < 127:
        if not c.isascii():
            return c if one and not printable else chr(new) if printable else other
        if c == other or c in ". ":
            return chr(new) if printable else c
    if old == new:
        return c
    # The character contradicts the octet: it still does, by the same bits.
    turned = ord(c) ^ old ^ new
    if 33 <= turned < 127 and turned != new:
        return chr(turned)
    return "z" if new != ord("z") else "y"
