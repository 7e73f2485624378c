"""Stamps in front of rows that come at equal steps: a step of twice that is a row that is lost."""

from __future__ import annotations

import re
from itertools import pairwise

from framecheck.core.frame import Doubt
from framecheck.reading._track import Track

_STAMP = re.compile(r"\d+[.,](\d{2,9})(?![0-9.,])")
_FEWEST_ROWS = 3
_MOST_ROWS = 128
"""Frames of which more rows are there have other signs."""
_FEWEST_UNITS = 8
"""Units of a stamp's last digit in a step, so that rounding does not make two of one."""
_MOST_LOST = 8


def lost_between(track: Track) -> Doubt | None:
    """A doubt where the stamps of rows that nothing counts leave room for one row more."""
    rows = track.rows
    if track.shape.offset or track.block or track.in_pieces or not track.shape.lead:
        return None
    if not _FEWEST_ROWS <= len(rows) <= _MOST_ROWS:
        return None
    stamps = []
    for row, text in zip(rows, track.texts, strict=True):
        found = _STAMP.search(text, 0, min(row.columns) - 1)
        if found is None:
            return None
        stamps.append(int(found[0].replace(".", "").replace(",", "")))
    steps = [b - a for a, b in pairwise(stamps)]
    usual = min(steps)
    if usual < _FEWEST_UNITS:
        return None
    slack = usual // _FEWEST_UNITS
    wide = [k for k, step in enumerate(steps, 1) if step > usual + slack]
    if len(wide) != 1:
        return None
    times, rest = divmod(steps[wide[0] - 1] + slack, usual)
    if not 1 < times <= _MOST_LOST or rest > 2 * slack:
        return None
    line = rows[wide[0]].line
    taken = "none: rows that came at other times"
    other = f"{times - 1} in front of this one, which came {times} times as late as the others"
    return Doubt("lost lines", taken, other, True, line)
