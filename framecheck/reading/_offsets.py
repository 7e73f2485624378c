"""The offset column's base and unit, which the second row settles, or a later one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from framecheck.reading._shape import Taken

if TYPE_CHECKING:
    from framecheck.reading._track import Track

_FORMS: tuple[tuple[int, int], ...] = ((16, 1), (10, 1), (16, 2), (16, 4), (8, 1))
"""Base, and octets that one step of the column counts."""
_FEWEST = 4
"""Octets of a row that a counter of rows may count."""


def second(track: Track, text: str) -> Taken | None:
    """The second row, in the first base and unit in which it goes on."""
    shape = track.shape
    first = track.first_value
    assert first is not None
    n = track.total
    forms = _FORMS
    if first <= 1 and n >= _FEWEST and shape.between not in shape.gaps:
        forms = (*_FORMS, (16, n), (10, n))  # the rows themselves are counted
    counter = first > 1 and shape.offset_digits in (4, 8) and shape.between in shape.gaps
    if counter and any(c.isdigit() for c in shape.lead):
        forms = (*forms, (10, n))  # a logger counts its messages
    if shape.group not in (1, 2, 4):
        forms = (*forms, (16, shape.group), (10, shape.group))  # words of a size of their own
    known = shape.base, shape.unit
    for base, unit in (known, *forms) if track.known else forms:
        shape.base = base
        try:
            start = int(f"{first:x}", base)
        except ValueError:
            continue
        if n % unit or (base != 16 and shape.lead.endswith(("0x", "0X"))):
            continue
        if base == 8 and shape.offset_digits < 6:
            continue
        if unit > 1 and shape.offset_digits == 2 and shape.between in shape.gaps:
            # Two octets that differ by one, in rows of four or eight: chance enough.
            continue
        taken = shape.take(text, start + n // unit)
        if taken is not None:
            shape.unit = unit
            track.first_value = start
            return taken
    shape.base = known[0]
    return None


def third(track: Track, text: str) -> Taken | None:
    """A row behind those that let the base open (0, 8 and 16 are decimal)."""
    shape = track.shape
    if shape.base != 16 or track.first_value not in (0, 1):
        return None
    last = len(track.parts[-1]) // shape.unit
    if track.expected is None or track.expected - last > 9:
        return None
    shape.base = 10
    taken = shape.take(text, track.expected)
    if taken is None:
        shape.base = 16
    return taken


def restarts(track: Track, text: str) -> bool:
    """Whether a row's offset is 0 behind one that is not: another dump begins."""
    if not track.shape.offset or not track.first_value or track.shape.base != 16:
        return False
    if track.first_value > 0xFFFF:
        return False  # an address, or no offset at all: those do not begin again at 0
    shape = track.shape
    if shape.between in shape.gaps and track.first_value % shape.per_row:
        return False  # the first octets of a row, and no offset of a later one
    return shape.take(text, 0) is not None
