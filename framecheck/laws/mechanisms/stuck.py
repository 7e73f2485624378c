"""One data bit of one lane always reads the same."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from framecheck.laws._model import Advice, Mechanism, Parameters, Proposal, Stream
from framecheck.laws._sample import Sample
from framecheck.laws.mechanisms._through import changed

_WIDTHS = (1, 2, 4, 8)
_BITS = float(np.log2(sum(_WIDTHS) * 8 * 2))


def _propose(sample: Sample) -> Iterable[Proposal]:
    changed, could = np.zeros((8, 8, 2)), np.zeros((8, 8, 2))
    for case in sample.pairs:
        assert case.received is not None
        size = min(case.length, len(case.received))
        sent, got = case.sent[:size], case.received[:size]
        lane = np.arange(size) % 8
        for bit in range(8):
            was, is_ = sent >> bit & 1, got >> bit & 1
            for value in (0, 1):
                other = was != value
                could[:, bit, value] += np.bincount(lane, other, 8)
                changed[:, bit, value] += np.bincount(lane, other & (is_ == value), 8)
    for width in _WIDTHS:
        for lane_ in range(width):
            done = changed[lane_::width].sum(axis=0)
            able = could[lane_::width].sum(axis=0)
            for bit, value in np.argwhere((done >= 2) & (done >= 0.8 * able)):
                p = {"width": width, "lane": lane_, "bit": int(bit), "value": int(value)}
                yield Proposal(p, _BITS)


def _apply(p: Parameters, sent: Stream) -> Stream:
    return sent.changed(changed("stuck", p))


def _says(p: Parameters) -> str:
    where = "each octet" if p["width"] == 1 else f"octet {p['lane']} of every {p['width']}"
    return f"bit {p['bit']} of {where} always reads {p['value']}"


def _helps(p: Parameters) -> Advice:
    return Advice(
        f"measure data line {8 * p['lane'] + p['bit']} (pad, pull resistor, solder joint, pin "
        "setting): no software brings the bit back",
        "half of all values are wrong without a sign; only checksums tell",
    )


STUCK = Mechanism("stuck", 2, _says, _helps, _apply, _propose, transform=True)
