"""The frame check sequence, or its first octets, is left on behind every frame."""

from __future__ import annotations

from framecheck.laws._model import (
    UNWRITTEN,
    Advice,
    Mechanism,
    Parameters,
    Proposal,
    Stream,
    check_sequence,
    foreign,
    joined,
    stream,
)
from framecheck.laws.mechanisms._words import octets


def _apply(p: Parameters, sent: Stream) -> Stream:
    if (sent.states == UNWRITTEN).any():
        # Taken over old octets as well, which differ from frame to frame.
        return joined(sent, foreign(p["k"], sent.length))
    return joined(sent, stream(check_sequence(sent.values)[: p["k"]]))


def _says(p: Parameters) -> str:
    if p["k"] == 4:
        return "the FCS of 4 octets is left on behind each frame"
    return f"the first {octets(p['k'])} of the FCS stand behind each frame"


def _helps(p: Parameters) -> Advice:
    k = p["k"]
    return Advice(
        f"take {k} from the length that the device gives, before the frame is handed up",
        "protocols without a length of their own take the FCS for data",
        lambda _: k,
        f"length -= {k}u;",
    )


FCS = Mechanism(
    "fcs",
    6,
    _says,
    _helps,
    _apply,
    lambda _: [Proposal({"k": k}, 0.5 if k == 4 else 4.0) for k in (4, 3, 2, 1)],
    transform=True,
)
