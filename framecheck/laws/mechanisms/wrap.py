"""The writer begins again at the buffer's start after r octets."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from framecheck.laws._model import LENGTHS, Advice, Mechanism, Parameters, Proposal, Stream
from framecheck.laws._sample import Case, Sample
from framecheck.laws.mechanisms._words import LEAK

_PLACES = 6
_USUAL = (64, 128, 256, 512, 1024)
_MOSTLY = 0.95


def _propose(sample: Sample) -> Iterable[Proposal]:
    sizes = set(_USUAL)
    for case in sample.pairs:
        assert case.received is not None
        sizes.update(_again(case.sent.tobytes(), case.received.tobytes()))
    told = [c for c in sample.pairs if c.received is not None and len(c.received) == c.length][:12]
    fits = {r: sum(_fits(r, case) for case in told) for r in sizes if r > 1}
    for r in sorted(fits, key=lambda r: (-fits[r], r))[:16]:
        if fits[r] > 0:
            yield Proposal({"r": r}, float(np.log2(LENGTHS.stop)))


def _fits(r: int, case: Case) -> float:
    """1 where the buffer begins with the octets of the last round, -1 where it does not."""
    assert case.received is not None
    size = case.length
    if size <= r:
        return -1.0  # a shorter frame is whole
    own = np.arange(r)
    right = case.sent[own + (size - 1 - own) // r * r] == case.received[:r]
    return float(right.mean() > _MOSTLY) - float(right.mean() < 0.5)


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
