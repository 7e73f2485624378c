"""The last k octets of every frame are never written."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from framecheck.laws._model import Advice, Grid, Mechanism, Parameters
from framecheck.laws._sample import Sample
from framecheck.laws.mechanisms._words import BEHIND, LEAK, octets, of_frames

LARGEST = 64


def _grid(_: Sample) -> Grid:
    return Grid({"k": np.arange(1, LARGEST + 1)}, np.full(LARGEST, np.log2(LARGEST)))


def _spans(p: Mapping[str, Any], length: Any) -> tuple[Any, Any]:
    start = length - p["k"]
    return np.maximum(0, start), length + 0 * start


def _says(p: Parameters) -> str:
    return of_frames("last", p["k"], "never written")


def _helps(p: Parameters) -> Advice:
    k = p["k"]
    return Advice(
        f"ask the transfer for {octets(k)} more than the frame has",
        f"{LEAK}; {BEHIND}",
        lambda _: k,
        f"transfer(buffer, length + {k}u);",
    )


TAIL = Mechanism("tail", 4, _says, _helps, grid=_grid, spans=_spans)
