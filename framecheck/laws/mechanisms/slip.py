"""From one octet on all bits stand a few places earlier or later."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from framecheck.laws._model import FOREIGN, LENGTHS, Advice, Mechanism, Parameters, Proposal, Stream
from framecheck.laws._sample import Sample
from framecheck.laws.mechanisms._through import changed
from framecheck.laws.mechanisms._words import octets

_BITS = float(np.log2(28))
_FRAMES = 6
_STRETCH, _LEAST = 256, 8
"""Octets behind a slip that are looked at, at most and at least."""
_RIGHT = 0.3
"""Share of them that must be as the slip makes them: a place may have taken the others."""
_BY = np.arange(1, 8, dtype=np.uint8)[:, None]
_REST = np.uint8(8) - _BY
"""All shifts side by side, and what is left of an octet beside each."""


def _propose(sample: Sample) -> Iterable[Proposal]:
    places = {0}
    for case in sample.pairs[:12]:
        assert case.received is not None
        size = min(case.length, len(case.received))
        wrong = np.flatnonzero(case.sent[:size] != case.received[:size])
        if len(wrong):
            places |= {int(wrong[0]), max(0, int(wrong[0]) - 1)}
    for at in sorted(places)[:6]:
        bits = _BITS + (1 if at == 0 else 1 + float(np.log2(LENGTHS.stop)))
        for by, toward, order in sorted(_seen(sample, at)):
            yield Proposal({"at": at, "bits": by, "toward": toward, "order": order}, bits)


_Slip = tuple[int, str, str]


def _seen(sample: Sample, at: int) -> set[_Slip]:
    """The slips that show in the octets behind ``at`` of a frame at least."""
    found: set[_Slip] = set()
    for case in sample.pairs[:_FRAMES]:
        assert case.received is not None
        stop = min(case.length, len(case.received), at + _STRETCH) - 1
        if stop - at < _LEAST:
            continue
        there = case.received[at + 1 : stop]
        before, own, behind = (case.sent[at + i : stop - 1 + i] for i in range(3))
        same = there == own
        slipped = {
            ("later", "msb"): before << _REST | own >> _BY,
            ("earlier", "msb"): own << _BY | behind >> _REST,
            ("later", "lsb"): own << _BY | before >> _REST,
            ("earlier", "lsb"): behind << _REST | own >> _BY,
        }
        for (toward, order), made in slipped.items():
            right = there == made
            # Where both are alike nothing tells.
            shows = (right.sum(axis=1) >= _RIGHT * len(there)) & (right & ~same).any(axis=1)
            found.update((int(by), toward, order) for by in _BY[shows, 0])
    return found


def _apply(p: Parameters, sent: Stream) -> Stream:
    at, size = p["at"], len(sent.values)
    if at >= size:
        return sent
    states = sent.states.copy()
    # The octet into which bits come from outside is not known.
    states[at if p["toward"] == "later" else size - 1] = FOREIGN
    return sent._replace(values=changed("slip", p)(sent.values), states=states)


def _says(p: Parameters) -> str:
    count = "1 bit" if p["bits"] == 1 else f"{p['bits']} bits"
    first = "most" if p["order"] == "msb" else "least"
    return (
        f"from octet 0x{p['at']:x} on all bits stand {count} {p['toward']}, {first} significant "
        "bit first"
    )


def _helps(p: Parameters) -> Advice:
    return Advice(
        "sample on the other edge of the clock, and begin to count bits where the frame begins; "
        f"until then shift every octet back by {octets(p['bits']).replace('octet', 'bit')}",
        "bits at the edge are lost; a shift that comes and goes is a clock fault",
    )


SLIP = Mechanism("slip", 3, _says, _helps, _apply, _propose, transform=True)
