"""A long frame goes through pieces of m octets, and a short last piece is never written."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from framecheck.laws._model import Advice, Grid, Mechanism, Parameters
from framecheck.laws._sample import Sample
from framecheck.laws.mechanisms._words import LEAK, octets

SMALLEST, LARGEST = 64, 1513
_CHANCE = 4
"""Wrong octets so near one another are one stretch: those between are right by chance."""


def _grid(sample: Sample) -> Grid:
    rows = _rows(sample)
    columns = np.array(rows or [(LARGEST, 1)], np.int64)
    bits = np.log2(LARGEST - SMALLEST) + np.log2(columns[:, 0])
    return Grid({"m": columns[:, 0], "most": columns[:, 1]}, bits)


def _rows(sample: Sample) -> list[tuple[int, int]]:
    """Sizes that divide the places where damage begins; how long a piece may be, by the rest."""
    starts: dict[int, int] = {}
    lengths = np.unique([c.length for c in sample.cases])
    for case in sample.pairs:
        assert case.received is not None
        size = min(case.length, len(case.received))
        wrong = np.flatnonzero(case.sent[:size] != case.received[:size])
        if not len(wrong):
            continue
        # Damage may stand in front that has nothing to do with it: the last stretch counts, too.
        breaks = np.flatnonzero(np.diff(wrong) > _CHANCE)
        for first in {int(wrong[0]), int(wrong[breaks[-1] + 1]) if len(breaks) else 0}:
            # A written octet may equal what the buffer held: the piece begins at or before it.
            for start in range(max(SMALLEST, first - 2), first + 1):
                starts[start] = max(starts.get(start, 0), case.length - start)
    sizes = {s // d for s in starts for d in range(1, s // SMALLEST + 1) if s % d == 0}
    sizes = {m for m in sizes if SMALLEST <= m <= LARGEST}
    if not sizes:
        return []
    m = np.array(sorted(sizes))[:, None]
    begins, over = np.array(list(starts)), np.array(list(starts.values()))
    rest = np.where((begins % m == 0) & (over < m), over, 0).max(axis=1)[:, None]
    left = lengths % m
    ahead = np.where((lengths > m) & (left > rest), left, m).min(axis=1)[:, None] - 1
    pairs = np.concatenate([np.hstack((m, most)) for most in (rest, ahead, m - 1)])
    return sorted(set(map(tuple, pairs[np.tile(rest[:, 0] > 0, 3)].tolist())))[:2000]


def _spans(p: Mapping[str, Any], length: Any) -> tuple[Any, Any]:
    m, most = p["m"], p["most"]
    over = length % m
    hit = (length > m) & (over > 0) & (over <= most)
    return np.where(hit, length - over, length), length + 0 * over


def _says(p: Parameters) -> str:
    m, most = p["m"], p["most"]
    if most >= m - 1:
        return f"frames longer than {m} octets lose the last length mod {m}: never written"
    return (
        f"frames longer than {m} octets come in pieces of {m}, and a last piece of at most "
        f"{octets(most)} is never written"
    )


def _helps(p: Parameters) -> Advice:
    m = p["m"]
    return Advice(
        f"give each frame one buffer of 1536 octets instead of pieces of {m}, or wait for the "
        "last piece before the frame is handed up",
        f"{LEAK}; the length word may count the lost piece",
        lambda length: -length % m if length > m else 0,
    )


PIECE = Mechanism("piece", 8, _says, _helps, grid=_grid, spans=_spans)
