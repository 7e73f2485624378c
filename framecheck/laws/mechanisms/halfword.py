"""The two 16-bit halves of every 32-bit word are exchanged."""

from __future__ import annotations

from framecheck.laws._model import Advice, Mechanism, Parameters, Stream, each
from framecheck.laws.mechanisms._through import moved
from framecheck.laws.mechanisms._words import in_software


def _apply(p: Parameters, sent: Stream) -> Stream:
    turned = moved("halfword", p, len(sent.values), -len(sent.values) % 4)
    return sent.written_to(turned) if p.get("_written") else sent.take(turned)


def _says(p: Parameters) -> str:
    part = "stay" if p["part"] == "keep" else "are moved as if the word were whole"
    return f"the halves of each 32-bit word are exchanged, and octets left over at the end {part}"


def _helps(_: Parameters) -> Advice:
    return in_software("exchange the halves of each word when it is read", "w = w << 16 | w >> 16;")


HALFWORD = Mechanism(
    "halfword",
    3,
    _says,
    _helps,
    _apply,
    lambda _: each(
        {"part": p, "_written": written}
        for p, written in (("keep", False), ("word", False), ("word", True))
    ),
    transform=True,
    old=True,
)
