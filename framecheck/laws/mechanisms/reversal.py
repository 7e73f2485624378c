"""The bits of every octet come in reverse order."""

from __future__ import annotations

from framecheck.laws._model import Advice, Mechanism, Parameters, Proposal, Stream
from framecheck.laws.mechanisms._through import changed
from framecheck.laws.mechanisms._words import in_software


def _apply(_: Parameters, sent: Stream) -> Stream:
    return sent.changed(changed("reversal", {}))


def _says(_: Parameters) -> str:
    return "the bits of each octet come in reverse order"


def _helps(_: Parameters) -> Advice:
    return in_software("turn the bits of each octet by a table of 256")


REVERSAL = Mechanism(
    "reversal", 2, _says, _helps, _apply, lambda _: [Proposal({}, 0.0)], transform=True
)
