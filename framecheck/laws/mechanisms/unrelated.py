"""Damage that follows no law: each frame for a reason of its own."""

from __future__ import annotations

from framecheck.laws._model import Advice, Mechanism, Parameters


def _says(_: Parameters) -> str:
    return "the damage follows no law that is known here"


def _helps(_: Parameters) -> Advice:
    return Advice(
        "send probes of many lengths, one at a time, and refill the buffer before each; see "
        "whether the damage comes with load, temperature or clock"
    )


UNRELATED = Mechanism("unrelated", 10, _says, _helps)
