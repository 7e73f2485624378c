"""The writer begins again at the buffer's start after r octets."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from framecheck.laws._model import LENGTHS, Advice, Index, Mechanism, Parameters, Proposal, Stream
from framecheck.laws._sample import Case, Sample
from framecheck.laws.mechanisms._words import LEAK

_PLACES = 512
"""Places in one frame where octets like its first ones are looked for: it may repeat itself."""
_FIRST, _SPREAD = 16, 48
"""Octets by which a size is judged: so many at the start, and from all over."""
_USUAL = (64, 128, 256, 512, 1024)
_MOSTLY = 0.95


def _propose(sample: Sample) -> Iterable[Proposal]:
    found = set(_USUAL)
    for case in sample.pairs:
        assert case.received is not None
        found.update(_again(case.sent.tobytes(), case.received.tobytes()))
    sizes = np.array(sorted(r for r in found if r > 1), np.int64)
    told = [c for c in sample.pairs if c.received is not None and len(c.received) == c.length][:12]
    fits = sum((_fits(sizes, case) for case in told), np.zeros(len(sizes)))
    for i in np.argsort(-fits, kind="stable")[:16]:
        if fits[i] > 0:
            yield Proposal({"r": int(sizes[i])}, float(np.log2(LENGTHS.stop)))


def _fits(sizes: Index, case: Case) -> NDArray[np.float64]:
    """For each size 1 where the buffer begins with the octets of the last round, -1 where it does
    not, as far as the first octets and some from all over show."""
    assert case.received is not None
    spread = np.linspace(0, case.length - 1, _SPREAD).astype(np.int64)
    own = np.unique(np.concatenate((np.arange(min(_FIRST, case.length)), spread)))
    r = sizes[:, None]
    right = case.sent[own + (case.length - 1 - own) // r * r] == case.received[own]
    share = (right & (own < r)).sum(axis=1) / (own < r).sum(axis=1)
    fits = (share > _MOSTLY).astype(np.float64) - (share < 0.5)
    # A shorter frame is whole.
    return np.where(case.length <= sizes, -1.0, fits)


def _again(sent: bytes, received: bytes) -> Iterable[int]:
    """Offsets of the sent octets that stand at the start of what was received."""
    for size in (16, 8, 4, 2):
        start = received[:size]
        at, found = 0, 0
        while found < _PLACES and (at := sent.find(start, at + 1)) > 0:
            found += 1
            # After several rounds it is the last one that stands there.
            yield from (at // turns for turns in range(1, 13) if at % turns == 0)
        if found:
            return
    if received[:1] and len(sent) > 1 and received[0] == sent[-1]:
        yield len(sent) - 1


def _apply(p: Parameters, sent: Stream) -> Stream:
    r, size = p["r"], len(sent.values)
    own = np.arange(size)
    if size <= r:
        return sent
    last = own + (size - 1 - own) // r * r
    return sent.take(np.where(own < r, last, own)).unwritten(own >= r)


def _says(p: Parameters) -> str:
    return f"after {p['r']} octets the writer begins again at the start of the buffer"


def _helps(p: Parameters) -> Advice:
    return Advice(
        "make the buffer, and the mask of its address counter, larger than the longest frame "
        f"(now {p['r']} octets)",
        f"the destination address is overwritten by later octets; {LEAK}",
        lambda length: max(0, length - p["r"]),
    )


WRAP = Mechanism("wrap", 3, _says, _helps, _apply, _propose, old=True)
