"""Frames lie one behind the other in a ring of r octets; the reader reads on behind its end."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from framecheck.laws._model import Advice, Mechanism, Parameters, Proposal, Stream
from framecheck.laws._sample import Case, Sample
from framecheck.laws.gathered import STEPS
from framecheck.laws.mechanisms._words import LEAK

LARGEST = 65536
_BITS = float(np.log2(LARGEST) + np.log2(len(STEPS)))


def _propose(sample: Sample) -> Iterable[Proposal]:
    """Sizes under which the first damaged frames cross the ring's end where damage begins."""
    crossed = [c for c in sample.pairs if c.seen.carried]
    for which, step in enumerate(STEPS):
        sizes: dict[int, int] = {}
        for case in crossed[:8]:
            for end in _ends(case, which):
                for turns in range(1, 9):
                    if end % turns == 0 and end // turns >= 64:
                        r = end // turns
                        sizes[r] = sizes.get(r, 0) + 1
        for r in sorted(sizes, key=lambda r: (-sizes[r], r))[:6]:
            if r <= LARGEST:
                yield Proposal({"r": r, "step": step}, _BITS)


def _ends(case: Case, which: int) -> Iterable[int]:
    assert case.received is not None
    size = min(case.length, len(case.received))
    wrong = np.flatnonzero(case.sent[:size] != case.received[:size])
    if not len(wrong):
        return
    first = int(wrong[0])
    # The first old octet may equal the sent one by chance.
    for at in (first, first - 1):
        if at > 0:
            yield case.seen.carried[which] + at


def _fit(p: Parameters, case: Case, _: str | None) -> tuple[Stream | None, float]:
    sent = case.stream()
    if not case.seen.carried or p["step"] not in STEPS:
        return sent, 0.0
    start = case.seen.carried[STEPS.index(p["step"])] % p["r"]
    own = np.arange(case.length)
    return sent.unwritten(own >= p["r"] - start), 0.0


def _says(p: Parameters) -> str:
    step = f", each from a multiple of {p['step']} on" if p["step"] > 1 else ""
    return (
        f"frames lie one behind the other in a ring of {p['r']} octets{step}, and are read on "
        "behind its end"
    )


def _helps(p: Parameters) -> Advice:
    return Advice(
        f"read a frame that crosses the ring's end in two parts: up to octet {p['r']}, then from "
        "the ring's start",
        f"what lies behind the ring is other memory; {LEAK}",
        code=f"octet = ring[(start + i) % {p['r']}u];",
    )


RING = Mechanism("ring", 4, _says, _helps, propose=_propose, fit=_fit, old=True)
