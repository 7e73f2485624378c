"""What a printer says of each row, in front of it or behind it, and a row that keeps not to it."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import reduce
from itertools import pairwise
from operator import xor

from framecheck.core.frame import BROKEN_DIGITS, Doubt
from framecheck.core.span import Range
from framecheck.reading._track import Track

Said = tuple[Doubt, list[Range]]
_FEWEST = 3
"""Rows of which two show a habit."""
_SUM = re.compile(
    r"[ \t]{1,4}[*=\[(<|#:]?[ \t]*[0-9A-Fa-f]{0,2}([0-9A-Fa-f]{2})[\])>|]?[ \t]*"
).fullmatch
_SUMS: tuple[Callable[[bytes], int], ...] = (
    lambda part: sum(part) & 0xFF,
    lambda part: -sum(part) & 0xFF,
    lambda part: ~sum(part) & 0xFF,
    lambda part: reduce(xor, part, 0),
)
"""The usual sums of one octet: of the octets, its negatives, and one without carries."""
_COUNT = re.compile(r"(?<![0-9A-Za-z.:,/\-])(\d{1,6})(?![0-9A-Za-z]|[.:,/\-]\d)")
_NUMBER = re.compile(r"\d+")
_BLANKS = re.compile(r"\s+")


def other_sum(track: Track) -> Said | None:
    """Rows with a sum behind them that is not theirs, where that of nearly all others is."""
    if len(track.rows) < _FEWEST or track.block or track.in_pieces or track.shape.gutter:
        return None
    if not _SUM(track.texts[0][max(track.rows[0].ends) - 1 :]):
        return None
    behind = [_SUM(t[max(r.ends) - 1 :]) for r, t in zip(track.rows, track.texts, strict=True)]
    said = [(k, int(m[1], 16)) for k, m in enumerate(behind) if m]
    for kind in _SUMS:
        odd = [k for k, value in said if kind(track.parts[k]) != value]
        held = {value for k, value in said if k not in odd}
        if len(held) > 1 and odd and len(odd) * _FEWEST <= len(said):
            row = track.rows[odd[0]]
            other = "others: the sum behind this row is not that of its octets"
            doubt = Doubt(BROKEN_DIGITS, "its octets, as printed", other, True, row.line)
            firsts = [(track.rows[k].first, len(track.parts[k])) for k in odd]
            return doubt, [(first, first + size) for first, size in firsts]
    return None


def other_count(track: Track) -> Said | None:
    """A number in front of each row that counts rows or octets, but for one row."""
    if track.shape.offset or len(track.rows) < _FEWEST or track.block or track.in_pieces:
        return None
    if not _COUNT.search(track.shape.lead):
        return None
    leads = [t[: min(r.columns) - 1] for r, t in zip(track.rows, track.texts, strict=True)]
    if len({_BLANKS.sub("", _NUMBER.sub("", lead)) for lead in leads}) > 1:
        return None
    for values in zip(*[map(int, _COUNT.findall(lead)) for lead in leads], strict=False):
        line = _skips(track, values)
        if line:
            other = "rows of another one, or with some lost between: a number in front counts"
            return Doubt("lost lines", "rows of one dump, none lost", other, True, line), []
    return None


def _skips(track: Track, values: tuple[int, ...]) -> int:
    """The line of the first row whose number does not count on from the row right in front.

    Only a count that begins at nothing or one, or does so again, is one of rows and no clock.
    """
    steps = [b - a for a, b in pairwise(values)]
    for usual in (1, track.shape.per_row):
        most = steps.count(usual) * _FEWEST >= 2 * len(steps)
        # Of two counts that are printed at the same time each goes on.
        follows = (v <= 1 or v - usual in values[:k] for k, v in enumerate(values))
        chained = usual in steps and values[0] <= 1 and all(follows)
        if not (most or chained):
            continue
        for (before, row), step, value in zip(pairwise(track.rows), steps, values[1:], strict=True):
            if step != usual and row.line == before.line + 1 and min(values[0], value) <= 1:
                return row.line
    return 0
