"""The bits of every octet come in reverse order."""

from __future__ import annotations

import numpy as np

from framecheck.laws._model import Advice, Mechanism, Parameters, Proposal, Stream
from framecheck.laws.mechanisms._words import in_software

_TABLE = np.array([int(f"{n:08b}"[::-1], 2) for n in range(256)], np.uint8)


def _apply(_: Parameters, sent: Stream) -> Stream:
    return sent.changed(lambda octets: _TABLE[octets])


def _says(_: Parameters) -> str:
    return "the bits of each octet come in reverse order"


def _helps(_: Parameters) -> Advice:
    return in_software("turn the bits of each octet by a table of 256")


REVERSAL = Mechanism(
    "reversal", 2, _says, _helps, _apply, lambda _: [Proposal({}, 0.0)], transform=True
)
