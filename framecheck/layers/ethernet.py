"""Ethernet: two addresses, then a type or a length (IEEE 802.3, RFC 894)."""

from __future__ import annotations

from collections.abc import Sequence

from framecheck.core.finding import memory
from framecheck.core.layer import Layer, LayerKind, octets
from framecheck.layers._ethertype import TYPE_OR_LENGTH, fill, follows, words
from framecheck.layers._words import mac


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    if not layer.whole("destination", "source"):
        return "the first octets of a frame"
    ends = f"from {layer['source'].reads} to {layer['destination'].reads}"
    number = layer.number("type")
    if number is None:
        return f"frame {ends}"
    name = words(number)
    return f"frame {ends} with type 0x{number:04x}" + (f" ({name})" if name else "")


ETHERNET = LayerKind(
    name="ethernet",
    source=memory("IEEE 802.3", "3.2"),
    table=(
        octets("destination", 6, mac, bytes(6)),
        octets("source", 6, mac, bytes(6)),
        TYPE_OR_LENGTH,
    ),
    leads_to=follows,
    says=_says,
    fills=fill,
)
