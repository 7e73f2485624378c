"""The transfer moves only whole multiples of n octets; what is left over is never written."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from math import gcd
from typing import Any

import numpy as np

from framecheck.laws._address import WIDEST
from framecheck.laws._model import Advice, Grid, Mechanism, Parameters
from framecheck.laws._sample import Sample
from framecheck.laws.mechanisms._words import BEHIND, LEAK, octets, rounding

LARGEST = 64
_LARGE = (72, 80, 96, 112, 128, 160, 192, 224, 256, 320, 384, 448, 512)
_FCS = 4
_TRAILS = (1, 2, 3, 5, 6, 7, 8)


def _grid(sample: Sample) -> Grid:
    return _every() if sample.address is None else _placed(_every(), sample.address)


def _placed(every: Grid, address: int) -> Grid:
    """Counted from where memory counts: the address says the lead, it need not be said again."""
    n, lead, trail = (every.columns[name] for name in ("n", "lead", "trail"))
    fits = (lead > 0) & (lead == address % n) & (n <= WIDEST) & (n & (n - 1) == 0)
    plain = np.log2(len(np.unique(n))) + np.where(trail == _FCS, 4, 1)
    return every._replace(bits=np.where(fits, plain, every.bits))


@cache
def _every() -> Grid:
    rows = []
    sizes = (*range(2, LARGEST + 1), *_LARGE)
    base = np.log2(len(sizes))
    for n in sizes:
        starts = base + 3 + np.log2(n)
        step = 1 if n <= LARGEST else n // gcd(n, 16)
        rows.append((n, 0, 0, base + 1))
        rows.extend((n, lead, 0, starts) for lead in range(step, n, step))
        # With n - 1 octets counted behind it or more, every frame is whole.
        if n > _FCS + 1:
            rows.append((n, 0, _FCS, base + 4))
            rows.extend((n, lead, _FCS, starts + 3) for lead in range(step, n, step))
        if n <= LARGEST:
            rows.extend((n, 0, trail, base + 7) for trail in _TRAILS if trail < n - 1)
    columns = np.array(rows)
    names = ("n", "lead", "trail")
    return Grid(
        {name: columns[:, i].astype(np.int64) for i, name in enumerate(names)}, columns[:, 3]
    )


def _spans(p: Mapping[str, Any], length: Any) -> tuple[Any, Any]:
    n, lead, trail = p["n"], p["lead"], p["trail"]
    edge = (length + lead + trail) // n * n - lead
    return np.maximum(0, edge), length + 0 * edge


def _says(p: Parameters) -> str:
    n, lead, trail = p["n"], p["lead"], p["trail"]
    counted = []
    if lead:
        counted.append(f"counted from {octets(lead)} before the frame")
    if trail:
        which = " (the FCS)" if trail == _FCS else ""
        counted.append(f"with {octets(trail)} behind it counted in{which}")
    how = f", {' and '.join(counted)}" if counted else ""
    over = "octets that are left over" if counted else f"(length mod {n}) octets"
    return (
        f"the transfer writes only whole multiples of {n} octets{how}; the last {over} are never "
        "written"
    )


def _helps(p: Parameters) -> Advice:
    n, lead = p["n"], p["lead"]
    counted = f", the {octets(lead)} before the frame counted in" if lead else ""
    return Advice(
        f"round the length that is given to the transfer up to a multiple of {n}{counted}; keep "
        "the true length for everything above the driver",
        f"{LEAK}; {BEHIND}",
        lambda length: -(length + lead) % n,
        rounding(n, lead),
    )


GRANULE = Mechanism("granule", 8, _says, _helps, grid=_grid, spans=_spans)
