"""Of every n octets the same ones are never written: a lane of the bus, or a column of memory."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from framecheck.laws._model import Advice, Mechanism, Parameters, Proposal, Stream
from framecheck.laws._sample import Sample
from framecheck.laws.mechanisms._words import LEAK

_WIDTHS = (2, 3, 4, 6, 8, 16, 32)
_TURN = 96
"""After so many octets all widths begin anew."""


def _propose(sample: Sample) -> Iterable[Proposal]:
    cases = sample.pairs
    seen: set[tuple[bool, ...]] = set()
    for n in _WIDTHS:
        wrong, all_ = np.zeros(n), np.zeros(n)
        for case in cases:
            assert case.received is not None
            size = min(case.length, len(case.received))
            bad = (case.sent[:size] != case.received[:size]) & ~case.ignored[:size]
            lane = np.arange(size) % n
            wrong += np.bincount(lane, bad, n)
            all_ += np.bincount(lane, minlength=n)
        share = wrong / np.maximum(1, all_)
        for least in (0.5, 0.2):
            hit = share > least
            r = [int(i) for i in np.flatnonzero(hit)]
            # The same lanes of a wider path are the same law.
            pattern = tuple(np.tile(hit, _TURN // n).tolist())
            if 0 < len(r) < n and pattern not in seen:
                seen.add(pattern)
                yield Proposal({"n": n, "r": r}, float(np.log2(len(_WIDTHS)) + n))


def _apply(p: Parameters, sent: Stream) -> Stream:
    lanes = np.zeros(p["n"], bool)
    lanes[p["r"]] = True
    return sent.unwritten(lanes[np.arange(len(sent.values)) % p["n"]])


def _says(p: Parameters) -> str:
    lanes = ", ".join(str(r) for r in p["r"])
    return f"of every {p['n']} octets, those at {lanes} (counted from 0) are never written"


def _helps(p: Parameters) -> Advice:
    return Advice(
        f"check the byte enables of the {8 * p['n']}-bit path; until then move the frames by a "
        "narrower access that does write every octet",
        LEAK,
    )


LANE = Mechanism("lane", 3, _says, _helps, _apply, _propose, old=True)
