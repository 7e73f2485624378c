"""Two data lines are exchanged."""

from __future__ import annotations

from itertools import combinations

from framecheck.laws._model import Advice, Mechanism, Parameters, Stream, each
from framecheck.laws.mechanisms._through import changed
from framecheck.laws.mechanisms._words import in_software


def _apply(p: Parameters, sent: Stream) -> Stream:
    return sent.changed(changed("crossed", p))


def _says(p: Parameters) -> str:
    return f"data bits {p['a']} and {p['b']} of each octet are exchanged"


def _helps(_: Parameters) -> Advice:
    return in_software("exchange the two bits of each octet by a table of 256")


CROSSED = Mechanism(
    "crossed",
    2,
    _says,
    _helps,
    _apply,
    lambda _: each({"a": a, "b": b} for a, b in combinations(range(8), 2)),
    transform=True,
)
