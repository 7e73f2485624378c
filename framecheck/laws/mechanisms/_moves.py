"""By how many octets the rest of one frame stands later in another."""

from __future__ import annotations

from collections.abc import Iterable

from framecheck.laws._model import Octets

FARTHEST = 512
_PIECE = 8
_PIECES = 3
"""Pieces that are looked for: one of them may be damaged."""
_PLACES = 6
"""Places of one piece that are tried."""


def shifts(short: Octets, long: Octets, at: int) -> Iterable[int]:
    """Counts k for which ``short[at:]`` stands in ``long`` from ``at + k`` on, for the most part.

    The best first; pieces of eight octets are looked for, then the rest is compared.
    """
    text, pattern = long.tobytes(), short.tobytes()
    found: dict[int, float] = {}
    for start in range(at, at + _PIECES * _PIECE, _PIECE):
        piece = pattern[start : start + _PIECE]
        if len(piece) < _PIECE:
            break
        where = start
        for _ in range(_PLACES):
            where = text.find(piece, where + 1, start + FARTHEST + _PIECE)
            if where < 0:
                break
            k = where - start
            if k not in found:
                rest = long[at + k :]
                size = min(len(rest), len(short) - at)
                found[k] = float((short[at : at + size] == rest[:size]).mean())
    return [k for k in sorted(found, key=lambda k: (-found[k], k)) if found[k] > 0.8][:2]
