"""The printed length is rounded up; the surplus octets were never part of the frame."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from framecheck.laws._model import (
    FCS,
    Advice,
    Mechanism,
    Parameters,
    Proposal,
    Stream,
    buffer,
    check_sequence,
    joined,
    stream,
)
from framecheck.laws._sample import Sample
from framecheck.laws.mechanisms._words import LEAK, octets

_SIZES = (*range(2, 65), 96, 128, 256, 512)
_BITS = float(np.log2(len(_SIZES)))


def _propose(sample: Sample) -> Iterable[Proposal]:
    cases = [c for c in sample.cases if c.received is not None and not c.blind]
    if not any(c.received is not None and len(c.received) > c.length for c in cases):
        return
    length = np.array([c.length for c in cases])
    got = np.array([0 if c.received is None else len(c.received) for c in cases])
    for n in _SIZES:
        for trail in (0, FCS, 2, 8):
            sums = length + trail
            for lead in range(n if n <= 64 else 1):
                right = (-(-(sums + lead) // n) * n - lead == got).mean()
                if right >= 0.8:
                    bits = _BITS + (1 if not lead else 3 + float(np.log2(n))) + (3 if trail else 0)
                    p = {"n": n, "lead": lead, "trail": trail}
                    yield Proposal(p, bits)
                    if trail == FCS:
                        yield Proposal({**p, "_written": True}, bits)


def _apply(p: Parameters, sent: Stream) -> Stream:
    n, lead, trail, size = p["n"], p["lead"], p["trail"], len(sent.values)
    edge = -(-(size + lead + trail) // n) * n - lead
    if not p.get("_written"):
        return joined(sent, buffer(size, edge, sent.length))
    # What is counted behind the frame went the same way as the frame.
    behind = check_sequence(sent.values)
    return joined(sent, stream(behind), buffer(size + FCS, edge, sent.length))


def _says(p: Parameters) -> str:
    more = ""
    if p["lead"]:
        more = f", counted from {octets(p['lead'])} before the frame"
    if p["trail"]:
        more += f", {octets(p['trail'])} behind the frame counted in"
    return f"frames are handed over rounded up to a multiple of {p['n']} octets{more}"


def _helps(p: Parameters) -> Advice:
    n, shift = p["n"], p["lead"] + p["trail"]
    return Advice(
        "cut the frame to the length that its own header claims, or that the device reports "
        "before rounding",
        LEAK,
        lambda length: -(length + shift) % n + p["trail"],
    )


ROUND_UP = Mechanism("round-up", 4, _says, _helps, _apply, _propose, old=True)
