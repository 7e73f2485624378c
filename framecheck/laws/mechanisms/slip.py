"""From one octet on all bits stand a few places earlier or later."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from framecheck.laws._model import FOREIGN, LENGTHS, Advice, Mechanism, Parameters, Proposal, Stream
from framecheck.laws._sample import Sample
from framecheck.laws.mechanisms._through import changed
from framecheck.laws.mechanisms._words import octets

_BITS = float(np.log2(28))


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
        for by in range(1, 8):
            for toward in ("later", "earlier"):
                for order in ("msb", "lsb"):
                    yield Proposal({"at": at, "bits": by, "toward": toward, "order": order}, bits)


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
