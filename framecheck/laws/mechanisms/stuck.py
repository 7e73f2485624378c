"""One data bit of one lane always reads the same."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from framecheck.laws._model import Advice, Mechanism, Octets, Parameters, Proposal, Stream
from framecheck.laws._sample import Sample
from framecheck.laws.mechanisms._through import changed

_WIDTHS = (1, 2, 4, 8)
_BITS = float(np.log2(sum(_WIDTHS) * 8 * 2))


def _propose(sample: Sample) -> Iterable[Proposal]:
    # By lane of eight octets, bit and value: bits that were the other way, and came as the value.
    changed, could = np.zeros((8, 8, 2)), np.zeros((8, 8, 2))
    for case in sample.pairs:
        assert case.received is not None
        size = min(case.length, len(case.received))
        sent, got = case.sent[:size], case.received[:size]
        for value, other, there in ((0, sent, ~got), (1, ~sent, got)):
            could[:, :, value] += _by_lane(other)
            changed[:, :, value] += _by_lane(other & there)
    for width in _WIDTHS:
        for lane_ in range(width):
            done = changed[lane_::width].sum(axis=0)
            able = could[lane_::width].sum(axis=0)
            for bit, value in np.argwhere((done >= 2) & (done >= 0.8 * able)):
                p = {"width": width, "lane": lane_, "bit": int(bit), "value": int(value)}
                yield Proposal(p, _BITS)


def _by_lane(octets: Octets) -> NDArray[np.int64]:
    """How many ones each bit has, least significant first, in each of eight lanes."""
    whole = np.zeros(-(-len(octets) // 8) * 8, np.uint8)
    whole[: len(octets)] = octets
    bits = np.unpackbits(whole, bitorder="little").reshape(-1, 64)
    found: NDArray[np.int64] = bits.sum(axis=0, dtype=np.int64).reshape(8, 8)
    return found


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
