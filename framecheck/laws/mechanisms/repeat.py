"""Octets come twice: one word of each so many, or one word of the frame."""

from __future__ import annotations

from collections.abc import Iterable
from math import log2

import numpy as np

from framecheck.laws._model import LENGTHS, Advice, Mechanism, Parameters, Proposal, Stream
from framecheck.laws._sample import Sample
from framecheck.laws.mechanisms._through import moved
from framecheck.laws.mechanisms._words import octets

_WIDTHS = (1, 2, 4, 8, 16, 32)
_TIMES = (1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 64)
_SHIFTED = 8.0
"""Bits for a word that stands between words."""
_BITS = float(np.log2(len(_WIDTHS)) + np.log2(len(_TIMES)))


def _propose(sample: Sample) -> Iterable[Proposal]:
    cases = [c for c in sample.pairs if c.received is not None]
    length = np.array([c.length for c in cases])
    came = np.array([0 if c.received is None else len(c.received) for c in cases])
    if not len(cases) or not (came > length).any():
        return
    for width in _WIDTHS:
        for times in _TIMES:
            every = width * times
            if (np.abs(length + length // every * width - came) <= width).mean() >= 0.7:
                yield Proposal({"width": width, "every": every}, _BITS)
        if (came - length == width).mean() >= 0.7:
            bits = float(np.log2(len(_WIDTHS)) + np.log2(LENGTHS.stop))
            for at in _places(sample, width):
                # A word stands where words do; few paths shift it.
                apart = 0.0 if at % width == 0 else _SHIFTED
                yield Proposal({"width": width, "at": at}, bits - log2(width) + apart)


def _places(sample: Sample, width: int) -> Iterable[int]:
    """Where one word may come twice: in front of the first octet that is not as sent."""
    found = set()
    for case in sample.pairs[:12]:
        assert case.received is not None
        size = min(case.length, len(case.received))
        wrong = np.flatnonzero(case.sent[:size] != case.received[:size])
        first = int(wrong[0]) if len(wrong) else size
        found |= {at for at in range(first - width - 2, first - width + 1) if at >= 0}
    return sorted(found)[:12]


def _apply(p: Parameters, sent: Stream) -> Stream:
    return sent.take(moved("repeat", p, len(sent.values)))


def _says(p: Parameters) -> str:
    if "at" in p:
        return f"{octets(p['width'])} from octet 0x{p['at']:x} on come twice"
    if p["every"] == p["width"]:
        return f"every word of {octets(p['width'])} comes twice"
    return f"of every {p['every']} octets the last {octets(p['width'])} come twice"


def _helps(p: Parameters) -> Advice:
    return Advice(
        "let the read strobe be seen once (wait states, bus timing); until then leave the second "
        "copy out when the frame is copied",
        "the length of the device counts without the copies, or with them: check which",
    )


REPEAT = Mechanism("repeat", 2, _says, _helps, _apply, _propose, transform=True)
