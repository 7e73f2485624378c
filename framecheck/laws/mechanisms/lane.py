"""Of every n octets the same ones are never written: a lane of the bus, or a column of memory."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from framecheck.laws._model import Advice, Flags, Index, Mechanism, Parameters, Proposal, Stream
from framecheck.laws._sample import Sample
from framecheck.laws.mechanisms._words import LEAK

_WIDTHS = (2, 3, 4, 6, 8, 16, 32)
_TURN = 96
"""After so many octets all widths begin anew."""


def _propose(sample: Sample) -> Iterable[Proposal]:
    turn_wrong, turn_all = np.zeros(_TURN), np.zeros(_TURN)
    for case in sample.pairs:
        assert case.received is not None
        size = min(case.length, len(case.received))
        bad = (case.sent[:size] != case.received[:size]) & ~case.ignored[:size]
        turn_wrong += _by_turn(bad)
        turn_all += size // _TURN
        turn_all[: size % _TURN] += 1
    seen: set[tuple[bool, ...]] = set()
    for n in _WIDTHS:
        wrong, all_ = (x.reshape(-1, n).sum(axis=0) for x in (turn_wrong, turn_all))
        share = wrong / np.maximum(1, all_)
        for least in (0.5, 0.2):
            hit = share > least
            r = [int(i) for i in np.flatnonzero(hit)]
            # The same lanes of a wider path are the same law.
            pattern = tuple(np.tile(hit, _TURN // n).tolist())
            if 0 < len(r) < n and pattern not in seen:
                seen.add(pattern)
                yield Proposal({"n": n, "r": r}, float(np.log2(len(_WIDTHS)) + n))


def _by_turn(marks: Flags) -> Index:
    """How many marks stand at each place of a turn."""
    whole = np.zeros(-(-len(marks) // _TURN) * _TURN, bool)
    whole[: len(marks)] = marks
    found: Index = whole.reshape(-1, _TURN).sum(axis=0)
    return found


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
