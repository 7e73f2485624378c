"""k octets that were not sent stand behind every frame."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

import numpy as np

from framecheck.laws._model import (
    Advice,
    Mechanism,
    Parameters,
    Proposal,
    Stream,
    foreign,
    joined,
)
from framecheck.laws._sample import Sample
from framecheck.laws.mechanisms._words import octets

_BITS = float(np.log2(64))


def _propose(sample: Sample) -> Iterable[Proposal]:
    surplus = Counter(len(c.received) - c.length for c in sample.pairs if c.received is not None)
    for k, _ in surplus.most_common(3):
        if 0 < k <= 256:
            yield Proposal({"k": k}, _BITS)


def _apply(p: Parameters, sent: Stream) -> Stream:
    return joined(sent, foreign(p["k"], sent.length))


def _says(p: Parameters) -> str:
    return f"{octets(p['k'])} that were not sent stand behind each frame"


def _helps(p: Parameters) -> Advice:
    k = p["k"]
    return Advice(
        f"take {k} from the length before the frame is handed up; they are a status word, or "
        "what rounding up left",
        "old memory may stand there: do not hand it up",
        lambda _: k,
        f"length -= {k}u;",
    )


APPEND = Mechanism("append", 4, _says, _helps, _apply, _propose, transform=True)
