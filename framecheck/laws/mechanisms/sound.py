"""Nothing happens to frames on their way."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from framecheck.laws._model import Advice, Mechanism, Parameters, Proposal


def _nothing(_: Mapping[str, Any], length: Any) -> tuple[Any, Any]:
    return length, length


def _says(_: Parameters) -> str:
    return "the transfer leaves every frame as it was sent"


def _helps(_: Parameters) -> Advice:
    return Advice("nothing to change in the transfer")


SOUND = Mechanism("sound", 20, _says, _helps, propose=lambda _: [Proposal({}, 0.0)], spans=_nothing)
