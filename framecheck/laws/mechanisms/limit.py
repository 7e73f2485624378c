"""Beyond m octets nothing is written, or nothing comes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np

from framecheck.laws._model import LENGTHS, Advice, Grid, Mechanism, Parameters, Proposal, Stream
from framecheck.laws._sample import Sample
from framecheck.laws.mechanisms._words import LEAK

_BITS = float(np.log2(LENGTHS.stop))


def _grid(_: Sample) -> Grid:
    m = np.arange(16, LENGTHS.stop - 1)
    return Grid({"m": m}, np.full(len(m), _BITS), {"mode": "unwritten"})


def _spans(p: Mapping[str, Any], length: Any) -> tuple[Any, Any]:
    return np.minimum(p["m"], length), length + 0 * p["m"]


def _says(p: Parameters) -> str:
    what = "is written" if p["mode"] == "unwritten" else "comes"
    return f"nothing beyond the first {p['m']} octets of a frame {what}"


def _helps(p: Parameters) -> Advice:
    leak = LEAK if p["mode"] == "unwritten" else "frames that look whole are not: check the length"
    return Advice(
        "make the receive buffer and its length register 1536 octets; until then lower the MTU "
        f"so that no frame is longer than {p['m']} octets",
        leak,
        lambda length: max(0, length - p["m"]),
    )


def _absent(sample: Sample) -> Iterable[Proposal]:
    received = [(len(c.received), c.length) for c in sample.pairs if c.received is not None]
    for m in sorted({came for came, sent in received if came < sent}):
        yield Proposal({"m": m, "mode": "absent"}, _BITS)


def _cut(p: Parameters, sent: Stream) -> Stream:
    return sent.take(np.arange(min(len(sent.values), p["m"])))


UNWRITTEN_BEYOND = Mechanism("limit", 3, _says, _helps, grid=_grid, spans=_spans)
ABSENT_BEYOND = Mechanism("limit", 3, _says, _helps, _cut, _absent)
