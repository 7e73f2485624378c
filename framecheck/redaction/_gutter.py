"""The gutter of a row, written anew from the new octets."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from framecheck.reading.traits.gutter import before, judge


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
    rest = line[row.stop :]
    orders = ((row.frame_old, row.frame_new), (row.old, row.new))
    judged = [(judge(old, rest) if rest else None, old, new) for old, new in orders]
    known = [(g.bits, g, old, new) for g, old, new in judged if g is not None]
    if known:
        _, found, old, new = max(known, key=lambda k: k[0])
        start = row.stop + len(found.opening)
        shown = rest[len(found.opening) : len(rest) - len(found.closing)]
        changes = tuple(_exchanged(old, new, start, shown, found.gaps, found.other))
        return Gutter(start, start + len(shown), changes)
    for old, new in orders:
        left = before(old, line[: row.first])
        if left is not None:
            gaps = (len(old) // 2,) if left[1] - left[0] > len(old) else ()
            shown = line[slice(*left)]
            changes = tuple(_exchanged(old, new, left[0], shown, gaps, _other(old, shown, gaps)))
            return Gutter(*left, changes)
    return None


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
