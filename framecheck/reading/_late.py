"""Octets grouped from their end: the first group of a line, or of the last row, is short."""

from __future__ import annotations

import itertools
import re
from typing import TYPE_CHECKING

from framecheck.reading._reading import Stretch
from framecheck.reading._shape import Taken
from framecheck.reading._wanted import wanted

if TYPE_CHECKING:
    from framecheck.reading._track import Track

_SHORTEST = 60
_EMPTY = r"(?:--|\.\.|__|\*\*|\?\?|[xX]{2})"
_PLACES = re.compile(rf"(?:{_EMPTY}[ ,:]{{1,3}})+(?:[0-9A-Fa-f]{{2}}[ ,:]{{0,3}})+")
"""Empty places, and octets behind them."""
_PAIR = re.compile("[0-9A-Fa-f]{2}").match
_HEX = frozenset("0123456789abcdefABCDEF")


def short_first(text: str, found: list[Stretch], first: int, last: int) -> list[Stretch] | None:
    """A run of groups with the shorter one in front of it; None when there is none.

    ``first`` and ``last``: the run, as a range of the groups ``found``.
    """
    if first == 0 or last - first < 2:
        return None
    groups = found[first - 1 : last]
    sizes = [b - a for a, b in groups[:2]]
    gaps = [text[a[1] : b[0]] for a, b in itertools.pairwise(groups)]
    fits = sizes[0] % 2 == 0 and sizes[0] < sizes[1] and gaps[0] == gaps[1]
    return groups if fits else None


def late_row(track: Track, text: str) -> Taken | None:
    """The last row of a dump of words, its first group short, when it makes the dump whole."""
    shape = track.shape
    if not track.full:
        return None
    if len(text) == track.length and shape.group == 1 and not shape.gutter:
        return _behind_places(track, text)
    if len(text) >= track.length:
        return None
    if shape.group < 2 or shape.little or shape.gutter or len(set(shape.gaps)) != 1:
        return None
    front = shape.body(text, track.expected if shape.offset else None)
    if front is None or front[2] or (shape.offset and front[0] != track.expected):
        return None
    gap, digits = re.escape(shape.gaps[0]), 2 * shape.group
    short = rf"(?:[0-9A-Fa-f]{{2}}){{1,{shape.group - 1}}}"
    row = re.compile(rf"({short}(?:{gap}[0-9A-Fa-f]{{{digits}}})+)[^0-9A-Za-z]*")
    m = row.fullmatch(text, front[1])
    if m is None:
        return None
    starts = [p.start() for p in re.finditer("[0-9A-Fa-f]{2}", m[1])]
    octets = bytes([int(m[1][at : at + 2], 16) for at in starts])
    own = wanted(b"".join(track.parts[:8]))
    whole = (*track.facts.claimed, max(own, _SHORTEST) if own else 0)
    if len(octets) >= shape.per_row or track.total + len(octets) not in whole:
        return None
    columns = tuple([m.start(1) + at + 1 for at in starts])
    return Taken(front[0], octets, columns, tuple([c + 2 for c in columns]), None, False)


def _behind_places(track: Track, text: str) -> Taken | None:
    """The last row of a dump whose rows end with their first octet: its front places are empty."""
    shape = track.shape
    front = shape.body(text, track.expected if shape.offset else None)
    if front is None or front[2] or len(set(shape.gaps)) != 1:
        return None
    row = _PLACES.fullmatch(text, front[1])
    columns, ends = shape.columns(front[1], shape.per_row)
    if row is None or len(text) != ends[-1] - 1:
        return None
    kept = [k for k, c in enumerate(columns) if text[c - 1] in _HEX]
    if len(kept) == shape.per_row or not all(_PAIR(text, columns[k] - 1) for k in kept):
        return None
    track.lanes = True
    octets = bytes([int(text[columns[k] - 1 : ends[k] - 1], 16) for k in kept])
    return Taken(
        front[0],
        octets,
        tuple([columns[k] for k in kept]),
        tuple([ends[k] for k in kept]),
        None,
        False,
    )
