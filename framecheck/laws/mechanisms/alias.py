"""An address line does not toggle: two octets of memory become one."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from framecheck.laws._model import Advice, Mechanism, Parameters, Proposal, Stream
from framecheck.laws._sample import Sample

_LINES = 11
_MODES = ("read", "write", "both")
_BITS = float(np.log2(_LINES * len(_MODES)))
_FRAMES = 6
_SEEN = 0.2
"""Share of the octets of one half that must stand in the other, where the two are unlike."""


def _propose(sample: Sample) -> Iterable[Proposal]:
    for line in range(_LINES):
        for mode in _MODES:
            if not sample.pairs or _shows(sample, line, mode == "read"):
                yield Proposal({"line": line, "mode": mode}, _BITS)


def _shows(sample: Sample, line: int, lower_twice: bool) -> bool:
    """Whether octets of one half stand in the other half's places in a frame at least."""
    bit = 1 << line
    for case in sample.pairs[:_FRAMES]:
        assert case.received is not None
        size = min(case.length, len(case.received))
        low = np.arange(size)
        low = low[(low & bit == 0) & (low + bit < size)]
        from_, to = (low, low + bit) if lower_twice else (low + bit, low)
        unlike = case.sent[from_] != case.sent[to]
        seen = case.received[to][unlike] == case.sent[from_][unlike]
        if len(seen) and seen.mean() >= _SEEN:
            return True
    return False


def _apply(p: Parameters, sent: Stream) -> Stream:
    size, bit = len(sent.values), 1 << p["line"]
    own = np.arange(size)
    low = own & ~bit
    if p["mode"] == "read":
        return sent.take(low)
    # What is written later stands there: of two octets that share one place, the upper one.
    upper = np.where((own | bit) < size, own | bit, low)
    if p["mode"] == "both":
        return sent.take(upper)
    return sent.take(np.where(own & bit, own, upper)).unwritten((own & bit) > 0)


def _says(p: Parameters) -> str:
    line, mode = p["line"], p["mode"]
    when = {"read": "reads", "write": "writes", "both": "reads and writes"}[mode]
    return f"address line {line} (offset bit {1 << line}) is ignored by {when}"


def _helps(p: Parameters) -> Advice:
    return Advice(
        f"measure address line {p['line']}, or set the address step of the transfer; until then "
        "move octets one by one from the device",
        "half of the octets are lost: no software brings them back",
    )


ALIAS = Mechanism(
    "alias",
    2,
    _says,
    _helps,
    _apply,
    _propose,
    transform=True,
    old=True,
)
