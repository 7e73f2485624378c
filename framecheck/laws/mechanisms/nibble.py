"""The two halves of every octet are exchanged."""

from __future__ import annotations

from framecheck.laws._model import Advice, Mechanism, Parameters, Proposal, Stream
from framecheck.laws.mechanisms._through import changed
from framecheck.laws.mechanisms._words import in_software


def _apply(_: Parameters, sent: Stream) -> Stream:
    return sent.changed(changed("nibble", {}))


def _says(_: Parameters) -> str:
    return "the two halves of each octet are exchanged"


def _helps(_: Parameters) -> Advice:
    return in_software(
        "exchange the halves of each octet", "octet = (octet << 4 | octet >> 4) & 0xff;"
    )


NIBBLE = Mechanism(
    "nibble", 2, _says, _helps, _apply, lambda _: [Proposal({}, 0.0)], transform=True
)
