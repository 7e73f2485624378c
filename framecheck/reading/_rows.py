"""The quick road: full rows like those before them, taken one after another in one loop."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import accumulate, repeat

from framecheck.core.text import Row
from framecheck.reading._alike import alike
from framecheck.reading._printed import Printed
from framecheck.reading._reading import Gutter
from framecheck.reading._shape import Shape, turned
from framecheck.reading._track import ETHERTYPES, MOST_OCTETS, WIDTHS, Track
from framecheck.reading._uneven import UNEVEN
from framecheck.reading.traits.gutter import rendered

_new = tuple.__new__
_MOST_BESIDE = 64
"""Rows with a gutter that are looked at before the first of them is compared with its own."""


def may_run(track: Track) -> bool:
    """Whether the dump's rows are known well enough for the quick road."""
    shape = track.shape
    if track.half is not None or not track.full or track.blanks:
        return False
    if len(track.rows) < 2 and (not track.known or track.first_value):
        return False
    sure = track.progressed or track.known if shape.offset else shape.per_row in WIDTHS
    return (
        bool(sure)
        and shape.notation not in UNEVEN
        and not shape.varies
        and track.total <= MOST_OCTETS - 256
    )


def rows_at(
    track: Track, texts: list[str], index: int, number: int, start: int, end: int
) -> tuple[int, int]:
    """Take the lines from ``texts[index]`` on as long as each is a full row, as learnt.

    ``number`` and ``start``: of the line in front, its number, and where the first one begins in
    the log; ``end``: characters of a line's end. Whatever is unusual about a line stops here, and
    so does a row behind which a dump without offsets may end. Gives the index and the start of
    the first line that was not taken.
    """
    shape = track.shape
    most = (MOST_OCTETS - 256 - track.total) // shape.per_row + 1
    parts, column = alike(track, texts, index, most)
    if parts:
        return _add(track, texts, parts, (index, number, start, end), column, even=True)
    if not shape.offset:
        return _bare_rows_at(track, texts, index, number, start, end)
    match, width, base, step = (
        shape.match,
        shape.full_width,
        shape.base,
        shape.per_row // shape.unit,
    )
    expected, column, bare = track.expected, -1, shape.gutter is None
    found: list[str] = []
    behind: list[str] = []
    first, stop = index, min(len(texts), index + (most if bare else min(most, _MOST_BESIDE)))
    while index < stop:
        m = match(texts[index])
        if m is None:
            break
        digits, data, rest = m.groups()
        if len(data) != width or (bare and rest):
            break
        if m.start(2) != column:
            if index > first:
                break
            column = m.start(2)
        try:
            if int(digits, base) != expected:
                break
        except ValueError:
            break
        expected += step
        found.append(data)
        behind.append(rest)
        index += 1
    parts = _together(shape, found)
    if shape.gutter is not None:
        parts = parts[: _beside(shape, shape.gutter, parts, behind)]
    return _add(track, texts, parts, (first, number, start, end), column)


def _bare_rows_at(
    track: Track, texts: list[str], index: int, number: int, start: int, end: int
) -> tuple[int, int]:
    """The same for a dump without offsets, which may end behind any row."""
    shape = track.shape
    match, width, per_row = shape.match, shape.full_width, shape.per_row
    marks, gutter, size = shape.foreign_marks, shape.gutter, shape.group if shape.little else 0
    claimed, total, column = track.facts.claimed, track.total, -1
    parts: list[bytes] = []
    first = index
    stop = min(len(texts), index + (MOST_OCTETS - 256 - total) // per_row + 1)
    while index < stop:
        m = match(texts[index])
        if m is None:
            break
        _, data, rest = m.groups()
        if len(data) != width or (rest and gutter is None):
            break
        if m.start(2) != column:
            if parts:
                break
            column = m.start(2)
        for mark in marks:
            data = data.replace(mark, " ")
        try:
            octets = bytes.fromhex(data)
        except ValueError:
            break
        if len(octets) != per_row:
            break
        if size:
            octets = turned(octets, size)
        if gutter is not None and not _beside(shape, gutter, [octets], [rest]):
            break
        parts.append(octets)
        total += per_row
        index += 1
        if total in claimed or octets[12:14] in ETHERTYPES:
            break
    return _add(track, texts, parts, (first, number, start, end), column)


def _together(shape: Shape, found: list[str]) -> list[bytes]:
    """The octets of rows, up to one in which a mark stands that is no separator."""
    data = " ".join(found)
    for mark in shape.foreign_marks:
        data = data.replace(mark, " ")
    size = shape.per_row
    try:
        octets = bytes.fromhex(data)
    except ValueError:
        octets = b""
    if len(octets) != size * len(found):
        half = len(found) // 2
        return _together(shape, found[:half]) if half else []
    if shape.little and size % shape.group == 0:
        octets = turned(octets, shape.group)
    elif shape.little:
        return [turned(octets[at : at + size], shape.group) for at in range(0, len(octets), size)]
    return [octets[at : at + size] for at in range(0, len(octets), size)]


def _beside(shape: Shape, gutter: Gutter, parts: list[bytes], behind: list[str]) -> int:
    """How many of some full rows have the gutter that their octets should have."""
    opening, closing, size = shape.opening, shape.closing, shape.per_row
    if gutter.gaps:
        texts = [rendered(part, gutter.gaps, gutter.other) for part in parts]
    else:
        text = rendered(b"".join(parts), (), gutter.other)
        texts = [text[at : at + size] for at in range(0, len(text), size)]
    for k, (text, rest) in enumerate(zip(texts, behind, strict=False)):
        if rest != opening + text + closing:
            return k
    return len(texts)


def _add(
    track: Track,
    texts: Sequence[str],
    parts: list[bytes],
    where: tuple[int, int, int, int],
    column: int,
    *,
    even: bool = False,
) -> tuple[int, int]:
    """Put full rows at the end of a dump; the index and the start of the line behind them.

    ``where``: their first line's index and the number of the line in front, where it begins,
    and the size of a line's end; ``column``: characters in front of their octets; ``even``:
    whether all lines are as long as the first.
    """
    first, number, start, end = where
    if not parts:
        return first, start
    total, size, count = track.total, track.shape.per_row, len(parts)
    columns, ends = track.shape.columns(column, size)
    kept = texts[first : first + count]
    # Made past the tuples' own constructors, which would cost more than all the rest here.
    rows = zip(
        range(number + 1, number + 1 + count),
        range(total, total + size * count, size),
        repeat(columns),
        repeat(ends),
        strict=False,
    )
    track.rows.extend(map(_new, repeat(Row), rows))
    starts: Sequence[int]
    sizes: Iterable[int]
    if even:
        size = len(kept[0]) + end
        starts, sizes = range(start, start + size * count + 1, size), repeat(size, count)
    else:
        sizes = [len(text) + end for text in kept]
        starts = list(accumulate(sizes, initial=start))
    lines = zip(starts, sizes, repeat(0), repeat(()), strict=False)
    track.lines.extend(map(_new, repeat(Printed), lines))
    track.parts.extend(parts)
    track.texts.extend(kept)
    _count(track, count)
    return first + count, starts[-1]


def _count(track: Track, taken: int) -> None:
    """What the dump counts of so many full rows at its end."""
    shape = track.shape
    octets = taken * shape.per_row
    track.total += octets
    track.digits += 2 * octets
    if not track.letters:
        track.letters = not b"".join(track.parts[-taken:]).hex().isdigit()
    if shape.gutter is not None:
        track.gutter_rows += taken
        track.gutter_bits += taken * shape.gutter.bits
    if shape.offset and track.expected is not None:
        track.progressed += taken
        track.expected += octets // shape.unit
    elif track.broken_off:
        track.skipped = track.broken_off
    track.length = len(track.texts[-1])
    track.chatter = track.broken_off = 0
    track.marker = None
    track.ended = True
