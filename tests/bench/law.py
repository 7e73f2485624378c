"""The law behind frames, in milliseconds of processor time: 24 probes, 200, 10,000; the next probe.

Frames are handed to the engine as the reader would hand them over. Many frames are gathered by
length and shape of damage, which is counted in. Bounds: 150, 400 and 5,000 ms, and 200 for the
probes to send next.
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable

from framecheck.damage import fill
from framecheck.laws import Gathered
from framecheck.laws.infer import infer
from framecheck.probes.plan import plan, standing
from tests.laws.faults import SWEEP, Fault, granule, observed, stale, swapped

ODD = fill("odd-parity")
BOUNDS = {24: 150, 200: 400, 10_000: 5_000}


def faults() -> list[tuple[str, Callable[[], Fault]]]:
    """A place, an order, two at once, cache lines at random, and none."""
    return [
        ("nothing", lambda: lambda sent, _: sent),
        ("granule of 24", lambda: granule(24)),
        ("swapped pairs", lambda: swapped(2)),
        ("both", lambda: lambda sent, old: granule(32)(swapped(2)(sent, old) or b"", old)),
        ("stale lines", lambda: stale(32, 0)),
    ]


def spent(work: Callable[[], object]) -> float:
    """Milliseconds of processor time, the better of two."""
    best = float("inf")
    for _ in range(2):
        start = time.process_time()
        work()
        best = min(best, time.process_time() - start)
    return best * 1000


def gathered(fault: Callable[[], Fault], count: int) -> Gathered:
    """So many frames: the sweep's lengths, then any."""
    random_ = random.Random(1)
    lengths = [*SWEEP, *(random_.randrange(60, 1515) for _ in range(count))][:count]
    return observed(lengths, fault(), spoilt=0.01)


def run() -> list[object]:
    """Rows of the table."""
    infer(gathered(lambda: granule(8), 24), ODD)  # loads everything
    rows: list[object] = [("frames through", "frames", "ms", "bound", "next probes, ms")]
    for name, fault in faults():
        for count, bound in BOUNDS.items():
            start = time.process_time()
            evidence = gathered(fault, count)
            held = (time.process_time() - start) * 1000 if count > 1000 else 0.0
            laws = infer(evidence, ODD).laws
            law = spent(lambda e=evidence: infer(e, ODD)) + held  # type: ignore[misc]
            step = spent(lambda x=laws: plan(standing(x)))  # type: ignore[misc]
            rows.append((name, count, f"{law:.0f}", bound, f"{step:.0f}"))
    return rows
