"""Frames of some lengths do not come at all."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from framecheck.laws._model import LENGTHS, Advice, Mechanism, Parameters, Proposal, Stream
from framecheck.laws._sample import Sample

LARGEST = 64
_UNSEEN = 4
"""One more than the neighbours of a run that are tried on each side."""
MOST = 16
"""Remainders of one run that are lost."""


def _propose(sample: Sample) -> Iterable[Proposal]:
    lost = {c.length for c in sample.cases if c.received is None}
    came = {c.length for c in sample.cases if c.received is not None} - lost
    if not lost:
        return
    longest = max((n for n in came if n < min(lost)), default=0)
    if not came or max(came) < min(lost):
        # Any limit between the two is this law: they need not be said to the octet.
        wide = min(lost) - max(longest, LENGTHS.start - 1)
        yield Proposal({"above": [longest, min(lost)]}, float(np.log2(len(LENGTHS) / max(1, wide))))
    sizes = (*range(2, LARGEST + 1), 96, 128, 256, 512)
    for n in sizes:
        run = _run_of({x % n for x in lost}, n)
        kept = {x % n for x in came}
        bits = float(np.log2(len(sizes)))
        for r in _with_unseen(run, kept, n):
            if len(r) <= min(n // 2, MOST) and not kept.intersection(r):
                unseen = len(r) - len(run)
                yield Proposal({"n": n, "r": sorted(r)}, bits + _run_bits(r, n) + unseen)


def _run_bits(r: Sequence[int], n: int) -> float:
    """What it costs to say a run: one remainder, one up to n - 1 (a few octets that are counted
    behind the frame spill over), or any."""
    kinds = [2 * np.log2(n)]
    kinds += [np.log2(n)] if len(r) == 1 else []
    kinds += [np.log2(min(n // 2, MOST))] if r[-1] == n - 1 else []
    return float(np.log2(3) + min(kinds))


def _run_of(rests: set[int], n: int) -> list[int]:
    """The shortest run of remainders, around the end if need be, that holds all that are lost."""
    order = sorted(rests)
    gaps = [((b - a) % n or n, b) for a, b in zip(order, order[1:] + order[:1], strict=True)]
    gap, start = max(gaps)
    return sorted((start + i) % n for i in range(n - gap + 1))


def _with_unseen(run: list[int], kept: set[int], n: int) -> Iterable[list[int]]:
    """The run, and with neighbours of which no frame was sent: they may be lost as well."""
    start = next(x for x in run if (x - 1) % n not in run) if len(run) < n else 0
    for before in range(_UNSEEN):
        for behind in range(_UNSEEN):
            yield [(start + i) % n for i in range(-before, len(run) + behind)]
            if (start + len(run) + behind) % n in kept:
                break
        if (start - before - 1) % n in kept:
            break


def _apply(p: Parameters, sent: Stream) -> Stream | None:
    if "above" in p:
        return None if sent.length >= p["above"][1] else sent
    return None if sent.length % p["n"] in p["r"] else sent


def _says(p: Parameters) -> str:
    if "above" in p:
        came, lost = p["above"]
        return f"frames of {came} octets come, frames of {lost} octets do not: the limit is between"
    rest = ", ".join(str(r) for r in p["r"])
    return f"frames whose length mod {p['n']} is {rest} do not come"


def _helps(p: Parameters) -> Advice:
    if "above" in p:
        return Advice(
            "make the receive buffer and the length register larger, FCS and tag counted; until "
            f"then lower the MTU so that no frame is longer than {p['above'][0]} octets",
            "no counter moves: the sender sees only a timeout",
        )
    return Advice(
        "let the device pad or split differently (another buffer size or alignment), so that no "
        "frame has that length in the end",
        "no counter moves: the sender sees only a timeout",
    )


DROP = Mechanism("drop", 4, _says, _helps, _apply, _propose)
