"""k foreign octets stand before a sent one; everything behind them is moved."""

from __future__ import annotations

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
from framecheck.laws.mechanisms._moves import shifted
from framecheck.laws.mechanisms._words import octets


def _propose(sample: Sample) -> Iterable[Proposal]:
    return shifted(sample, longer="received")


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
