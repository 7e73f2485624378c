"""Some sent octets are lost; everything behind them is moved to the front."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from framecheck.laws._model import (
    Advice,
    Mechanism,
    Parameters,
    Proposal,
    Stream,
    buffer,
    joined,
)
from framecheck.laws._sample import Sample
from framecheck.laws.mechanisms._moves import shifted
from framecheck.laws.mechanisms._words import octets


def _propose(sample: Sample) -> Iterable[Proposal]:
    return shifted(sample, longer="sent")


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
