"""The quick road: full rows like those before them, taken one after another in one loop."""

from __future__ import annotations

from collections.abc import Sequence

from framecheck.core.text import Row
from framecheck.reading._printed import Printed
from framecheck.reading._shape import turned
from framecheck.reading._track import ETHERTYPES, MOST_OCTETS, WIDTHS, Track
from framecheck.reading._uneven import UNEVEN
from framecheck.reading.traits.gutter import rendered

_new = tuple.__new__


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
    track: Track, texts: Sequence[str], index: int, number: int, start: int, end: int
) -> tuple[int, int]:
    """Take the lines from ``texts[index]`` on as long as each is a full row, as learnt.

    ``number`` and ``start``: of the line in front, its number, and where the first one begins in
    the log; ``end``: characters of a line's end. Whatever is unusual about a line stops here, and
    so does a row behind which a dump without offsets may end. Gives the index and the start of
    the first line that was not taken.
    """
    shape = track.shape
    match, width, per_row, unit = shape.match, shape.full_width, shape.per_row, shape.unit
    gutter, base, offset, columns_of = shape.gutter, shape.base, shape.offset, shape.columns
    marks, opening, closing = shape.foreign_marks, shape.opening, shape.closing
    expected, total = track.expected if offset else None, track.total
    step, claimed, from_hex = per_row // unit, track.facts.claimed, bytes.fromhex
    rows, lines, parts, kept = track.rows, track.lines, track.parts, track.texts
    columns: tuple[int, ...] = ()
    ends: tuple[int, ...] = ()
    known = -1
    first, stop = index, len(texts)
    number -= index - 1
    while index < stop and total <= MOST_OCTETS - 256:
        text = texts[index]
        m = match(text)
        if m is None:
            break
        digits, data, rest = m.groups()
        if len(data) != width:
            break
        for mark in marks:
            data = data.replace(mark, " ")
        try:
            if expected is not None and int(digits, base) != expected:
                break
            octets = from_hex(data)
        except ValueError:
            break
        if len(octets) != per_row:
            break
        if shape.little:
            octets = turned(octets, shape.group)
        if gutter is None:
            if rest:
                break
        elif rest != opening + rendered(octets, gutter.gaps, gutter.other) + closing:
            break
        column = m.start(2)
        if column != known:
            columns, ends = columns_of(column, per_row)
            known = column
        size = len(text) + end
        # Made past the tuples' own constructors, which would cost more than all the rest here.
        rows.append(_new(Row, (number + index, total, columns, ends)))
        lines.append(_new(Printed, (start, size, 0, ())))
        parts.append(octets)
        kept.append(text)
        start += size
        total += per_row
        index += 1
        if expected is not None:
            expected += step
        elif total in claimed or octets[12:14] in ETHERTYPES:
            break
    taken = index - first
    if taken:
        _count(track, taken, expected)
    return index, start


def _count(track: Track, taken: int, expected: int | None) -> None:
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
    if shape.offset:
        track.progressed += taken
        track.expected = expected
    elif track.broken_off:
        track.skipped = track.broken_off
    track.length = len(track.texts[-1])
    track.chatter = track.broken_off = 0
    track.ended = True
