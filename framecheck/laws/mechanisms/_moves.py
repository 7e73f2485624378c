"""Where octets were put in or lost: by how many the rest of one frame stands later in another."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import Literal

import numpy as np

from framecheck.laws._model import LENGTHS, Octets, Proposal
from framecheck.laws._sample import Sample

FARTHEST = 512
_PIECE = 8
_PIECES = 3
"""Pieces that are looked for: one of them may be damaged."""
_FRAMES = 12
_MOST = 64
_BITS = float(np.log2(LENGTHS.stop) + np.log2(64))
_PLACES = 6
"""Places of one piece that are tried."""


def shifted(sample: Sample, longer: Literal["sent", "received"]) -> Iterable[Proposal]:
    """Places and counts under which most of what follows is what was sent.

    ``longer``: what has more octets there: received ones, if some were put in; sent ones, if some
    were lost. Each place is proposed twice: the frame as long as that makes it, and ``_kept``.
    """
    found: Counter[tuple[int, int]] = Counter()
    for case in sample.pairs[:_FRAMES]:
        assert case.received is not None
        pair = (case.sent, case.received)
        found.update(_gaps(*(pair if longer == "received" else pair[::-1])))
        # Where hardly two octets in a row are right, the lengths still say how many there are.
        more = len(pair[1]) - len(pair[0])
        more = more if longer == "received" else -more
        if 0 < more <= _MOST:
            short, long = sorted(pair, key=len)
            found.update({(0, more), (_divide(short, long, more), more)})
    usual = sorted(found, key=lambda x: (-found[x], x))[:8]
    # Octets may be the same by chance: the true place is not behind the first.
    earliest = {(min(a for a, j in usual if j == k), k) for _, k in usual}
    for at, k in dict.fromkeys([*usual, *sorted(earliest)]):
        for kept in (False, True):
            yield Proposal({"k": k, "at": at, "_kept": kept}, _BITS + 1)


def _gaps(short: Octets, long: Octets) -> Iterable[tuple[int, int]]:
    size = min(len(short), len(long))
    wrong = np.flatnonzero(short[:size] != long[:size])
    at = int(wrong[0]) if len(wrong) else size
    for k in shifts(short, long, at):
        yield at, k
        # Octets that are alike on both sides of the gap leave its place open.
        back = 0
        while back < at and long[at - 1 - back] == long[at - 1 - back + k]:
            back += 1
        if back:
            yield at - back, k
        # What is wrong first may be damage of another kind, far in front of the gap.
        best = _divide(short, long, k)
        if best not in (at, at - back):
            yield best, k


def _divide(short: Octets, long: Octets, k: int) -> int:
    """The first place at which a gap of k octets leaves the most octets of ``short`` right."""
    size = min(len(short), len(long) - k)
    ahead = short[:size] == long[:size]
    behind = short[:size] == long[k : k + size]
    gain = np.cumsum(ahead.astype(np.int64) - behind)
    best = int(np.argmax(gain)) if size > 0 else 0
    return best + 1 if size > 0 and gain[best] > 0 else 0


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
