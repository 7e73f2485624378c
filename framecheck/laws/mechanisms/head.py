"""The first k octets of every frame are never written."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from framecheck.laws._model import Advice, Grid, Mechanism, Parameters
from framecheck.laws._sample import Sample
from framecheck.laws.mechanisms._words import LEAK, octets, of_frames

LARGEST = 64


def _grid(_: Sample) -> Grid:
    return Grid({"k": np.arange(1, LARGEST + 1)}, np.full(LARGEST, np.log2(LARGEST)))


def _spans(p: Mapping[str, Any], length: Any) -> tuple[Any, Any]:
    return 0 * (length + p["k"]), np.minimum(length, p["k"])


def _says(p: Parameters) -> str:
    return of_frames("first", p["k"], "never written")


def _helps(p: Parameters) -> Advice:
    k = p["k"]
    return Advice(
        f"start the transfer {octets(k)} earlier, or read those octets one by one from the device",
        LEAK,
        lambda _: k,
    )


HEAD = Mechanism("head", 3, _says, _helps, grid=_grid, spans=_spans)
