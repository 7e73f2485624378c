"""k foreign octets stand before a sent one; everything behind them is moved."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from framecheck.laws._model import (
    LENGTHS,
    Advice,
    Mechanism,
    Parameters,
    Proposal,
    Stream,
    foreign,
    joined,
)
from framecheck.laws._sample import Case, Sample
from framecheck.laws.mechanisms._moves import shifts
from framecheck.laws.mechanisms._words import octets

_BITS = float(np.log2(LENGTHS.stop) + np.log2(64))


def _propose(sample: Sample) -> Iterable[Proposal]:
    found: dict[tuple[int, int], int] = {}
    for case in sample.pairs[:12]:
        for at, k in _shifts(case):
            found[at, k] = found.get((at, k), 0) + 1
    usual = sorted(found, key=lambda x: (-found[x], x))[:8]
    # Foreign octets may equal the sent ones by chance: the true place is not behind the first.
    earliest = {(min(a for a, j in usual if j == k), k) for _, k in usual}
    for at, k in dict.fromkeys([*usual, *sorted(earliest)]):
        for kept in (False, True):
            yield Proposal({"k": k, "at": at, "_kept": kept}, _BITS + 1)


def _shifts(case: Case) -> Iterable[tuple[int, int]]:
    """Places and counts under which most of what follows is what was sent."""
    assert case.received is not None
    size = min(case.length, len(case.received))
    wrong = np.flatnonzero(case.sent[:size] != case.received[:size])
    if not len(wrong):
        return
    at = int(wrong[0])
    for k in shifts(case.sent, case.received, at):
        yield at, k
        # Octets that are the same before and behind the gap leave its place open.
        back = 0
        while back < min(k, at):
            before = at - 1 - back
            if case.received[before + k] != case.sent[before]:
                break
            back += 1
        if back:
            yield at - back, k


def _apply(p: Parameters, sent: Stream) -> Stream:
    size, at = len(sent.values), min(p["at"], len(sent.values))
    whole = joined(
        sent.take(np.arange(at)), foreign(p["k"], sent.length), sent.take(np.arange(at, size))
    )
    return whole.take(np.arange(size)) if p.get("_kept") else whole


def _says(p: Parameters) -> str:
    where = (
        "in front of each frame" if p["at"] == 0 else f"before octet 0x{p['at']:x} of each frame"
    )
    return f"{octets(p['k'])} that were not sent stand {where}; what follows is moved"


def _helps(p: Parameters) -> Advice:
    k, at = p["k"], p["at"]
    do = (
        f"begin to read the frame at octet {k} of the buffer"
        if at == 0
        else f"copy the frame without octets 0x{at:x} to 0x{at + k - 1:x}"
    )
    return Advice(
        f"{do}; or set the device so that it leaves them out",
        "these octets may be a status word: see whether they hold the length or an error flag",
        lambda _: k,
    )


INSERT = Mechanism("insert", 5, _says, _helps, _apply, _propose, transform=True)
