"""Nothing happens to frames on their way."""

from __future__ import annotations

from framecheck.laws._model import Advice, Mechanism, Parameters, Proposal, Stream


def _same(_: Parameters, sent: Stream) -> Stream:
    return sent


def _says(_: Parameters) -> str:
    return "the transfer leaves every frame as it was sent"


def _helps(_: Parameters) -> Advice:
    return Advice("nothing to change in the transfer")


SOUND = Mechanism("sound", 20, _says, _helps, _same, lambda _: [Proposal({}, 0.0)])
