"""The last k octets of every frame do not come."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

import numpy as np

from framecheck.laws._model import Advice, Mechanism, Parameters, Proposal, Stream
from framecheck.laws._sample import Sample
from framecheck.laws.mechanisms._words import of_frames

_BITS = float(np.log2(64))


def _propose(sample: Sample) -> Iterable[Proposal]:
    lacking = Counter(c.length - len(c.received) for c in sample.pairs if c.received is not None)
    for k, _ in lacking.most_common(3):
        if 0 < k <= 256:
            yield Proposal({"k": k}, _BITS)


def _apply(p: Parameters, sent: Stream) -> Stream:
    return sent.take(np.arange(max(0, len(sent.values) - p["k"])))


def _says(p: Parameters) -> str:
    return of_frames("last", p["k"], "absent")


def _helps(p: Parameters) -> Advice:
    k = p["k"]
    return Advice(
        f"do not take {k} from the length: the device has taken its FCS off already, or a tag is "
        "not counted",
        "only frames with padding survive; long ones lose data",
        lambda _: k,
    )


CUT = Mechanism("cut", 3, _says, _helps, _apply, _propose, transform=True)
