"""The octets of every aligned word come in reverse order."""

from __future__ import annotations

from framecheck.laws._model import Advice, Mechanism, Parameters, Stream, each
from framecheck.laws.mechanisms._through import moved
from framecheck.laws.mechanisms._words import in_software


def _apply(p: Parameters, sent: Stream) -> Stream:
    turned = moved("swap", p, len(sent.values), -len(sent.values) % p["width"])
    return sent.written_to(turned) if p.get("_written") else sent.take(turned)


def _says(p: Parameters) -> str:
    part = "stay" if p["part"] == "keep" else "are turned as if the word were whole"
    rest = f", and octets left over at the end {part}"
    return f"the octets of each {8 * p['width']}-bit word come in reverse order{rest}"


def _helps(p: Parameters) -> Advice:
    swap = {
        2: "w = w << 8 | w >> 8;",
        4: "w = w >> 24 | w >> 8 & 0xff00 | (w & 0xff00) << 8 | w << 24;",
    }
    return in_software("swap each word when it is read", swap.get(p["width"], ""))


SWAP = Mechanism(
    "swap",
    5,
    _says,
    _helps,
    _apply,
    lambda _: each(
        {"width": w, "part": p, "_written": written}
        for w in (2, 4, 8)
        for p, written in (("keep", False), ("word", False), ("word", True))
    ),
    transform=True,
    old=True,
)
