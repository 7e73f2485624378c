"""Some sent octets are lost; everything behind them is moved to the front."""

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
    buffer,
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
    earliest = {(min(a for a, j in usual if j == k), k) for _, k in usual}
    for at, k in dict.fromkeys([*usual, *sorted(earliest)]):
        for kept in (False, True):
            yield Proposal({"k": k, "at": at, "_kept": kept}, _BITS + 1)


def _shifts(case: Case) -> Iterable[tuple[int, int]]:
    """Places and counts under which most of what follows is what was sent."""
    assert case.received is not None
    size = min(case.length, len(case.received))
    wrong = np.flatnonzero(case.sent[:size] != case.received[:size])
    at = int(wrong[0]) if len(wrong) else size
    for k in shifts(case.received, case.sent, at):
        yield at, k
        # The lost octets may begin earlier, where both sides of the gap are alike.
        back = 0
        while back < at and case.sent[at - 1 - back] == case.sent[at - 1 - back + k]:
            back += 1
        if back:
            yield at - back, k


def _apply(p: Parameters, sent: Stream) -> Stream:
    size, at = len(sent.values), p["at"]
    if at >= size:
        return sent
    gone = min(p["k"], size - at)
    index = np.concatenate([np.arange(at), np.arange(at + gone, size)])
    left = sent.take(index)
    if not p.get("_kept"):
        return left
    return joined(left, buffer(len(index), size, sent.length))


def _says(p: Parameters) -> str:
    where = "the first" if p["at"] == 0 else f"from octet 0x{p['at']:x} on"
    said = f"{octets(p['k'])} of each frame are lost; what follows moves up"
    return f"{where} {said}" if p["at"] == 0 else f"{where}, {said}"


def _helps(p: Parameters) -> Advice:
    return Advice(
        "move the start of the buffer so that its address is a multiple of the bus width, and "
        "read the device from its first octet; what is lost cannot be brought back",
        "the destination address may be lost, so that filters see another one",
    )


DELETE = Mechanism("delete", 5, _says, _helps, _apply, _propose, transform=True, old=True)
