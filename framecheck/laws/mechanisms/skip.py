"""Of every n octets one is lost; what follows moves up."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from framecheck.laws._model import Advice, Mechanism, Parameters, Proposal, Stream
from framecheck.laws._sample import Sample
from framecheck.laws.mechanisms._through import moved

LARGEST = 64
_SIZES = (*range(2, LARGEST + 1), 128, 256)


def _propose(sample: Sample) -> Iterable[Proposal]:
    cases = [c for c in sample.pairs if c.received is not None]
    length = np.array([c.length for c in cases])
    came = np.array([0 if c.received is None else len(c.received) for c in cases])
    if not len(cases) or not (came < length).any():
        return
    for n in _SIZES:
        for r in range(min(n, LARGEST)):
            lost = (length - 1 - r) // n + 1
            if (length - lost == came).mean() >= 0.7:
                yield Proposal({"n": n, "r": r}, float(np.log2(len(_SIZES)) + np.log2(n)))


def _apply(p: Parameters, sent: Stream) -> Stream:
    return sent.take(moved("skip", p, len(sent.values)))


def _says(p: Parameters) -> str:
    return f"of every {p['n']} octets the one at {p['r']} (counted from 0) is lost"


def _helps(p: Parameters) -> Advice:
    return Advice(
        f"empty the receiver before it holds {p['n']} octets: a lower threshold, a higher "
        "priority, or a slower line",
        "the loss depends on load: test with everything else running",
    )


SKIP = Mechanism("skip", 2, _says, _helps, _apply, _propose, transform=True)
