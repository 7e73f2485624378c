"""The same octets of every frame are never written."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from framecheck.laws._model import LENGTHS, Advice, Grid, Mechanism, Parameters
from framecheck.laws._sample import Sample
from framecheck.laws.mechanisms._words import LEAK


def _grid(sample: Sample) -> Grid:
    firsts, lasts = {0}, {1}
    for case in sample.pairs:
        assert case.received is not None
        size = min(case.length, len(case.received))
        wrong = np.flatnonzero((case.sent[:size] != case.received[:size]) & ~case.ignored[:size])
        if len(wrong):
            firsts |= {int(wrong[0])}
            lasts |= {int(wrong[-1]) + 1}
    for case in sample.cases:
        if case.blind and case.received is not None:
            a, b = _run(sample, case.seen.received or b"")
            firsts |= {a}
            lasts |= {b}
    some = sorted(firsts)[:40]
    pairs = [(a, b) for a in some for b in sorted(lasts)[-40:] if a < b]
    columns = np.array(pairs or [(0, 1)], np.int64)
    bits = np.full(len(columns), 2 * np.log2(LENGTHS.stop))
    return Grid({"start": columns[:, 0], "stop": columns[:, 1]}, bits)


def _run(sample: Sample, received: bytes) -> tuple[int, int]:
    """The longest run that equals the fill."""
    if sample.fill is None:
        return 0, 1
    same = np.frombuffer(received, np.uint8) == np.frombuffer(
        sample.fill.octets(0, len(received)), np.uint8
    )
    edges = np.flatnonzero(np.diff(np.concatenate(([0], same.astype(np.int8), [0]))))
    if not len(edges):
        return 0, 1
    runs = edges.reshape(-1, 2)
    a, b = runs[np.argmax(runs[:, 1] - runs[:, 0])]
    return int(a), int(b)


def _spans(p: Mapping[str, Any], length: Any) -> tuple[Any, Any]:
    return np.minimum(p["start"], length), np.minimum(p["stop"], length)


def _says(p: Parameters) -> str:
    last = p["stop"] - 1
    return f"octets 0x{p['start']:x} to 0x{last:x} of every frame are never written"


def _helps(p: Parameters) -> Advice:
    return Advice(
        "look for a second writer or a wrong start address of one part of the transfer; until "
        "then read these octets one by one from the device",
        LEAK,
    )


HOLE = Mechanism("hole", 2, _says, _helps, grid=_grid, spans=_spans)
