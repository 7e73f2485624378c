"""UDP: two ports, a length and a checksum (RFC 768)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.finding import rfc
from framecheck.core.layer import Carried, Layer, LayerKind, Next, encode, uint
from framecheck.layers._ports import between, transport_sum, words
from framecheck.layers._words import count

_HEADER = 8


def _leads_to(layer: Layer) -> Next | None:
    length = layer.number("length")
    if length is None:
        return None
    # A length that cannot be leaves all that IP carries to it.
    stop = layer.start + length * 8 if length >= _HEADER else layer.limit
    source, destination = layer.number("source_port"), layer.number("destination_port")
    ports = () if layer.quoted or source is None or destination is None else (destination, source)
    return Next("udp-port", ports, min(stop, layer.limit), layer.quoted, "payload")


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    if not layer.whole("source_port", "destination_port"):
        return None
    length = layer.number("length")
    data = (
        ""
        if length is None or length < _HEADER
        else f", {count(length - _HEADER, 'octet')} of data"
    )
    return f"UDP {between(layer, layers)}{data}"


def _fill(values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    length = _HEADER + len(carried.octets)
    header = encode(UDP, {"length": length, **values, "checksum": 0})
    # RFC 768: a sum that comes out as zero is sent as all ones; zero means that there is none.
    return {
        "length": length,
        "checksum": transport_sum(carried.below, 17, header + carried.octets) or 0xFFFF,
    }


UDP = LayerKind(
    name="udp",
    source=rfc(768, "Format"),
    entered_by=(("ip-protocol", 17), ("next-header", 17)),
    table=(
        uint("source_port", 16, words("udp")),
        uint("destination_port", 16, words("udp")),
        uint("length", 16),
        uint("checksum", 16),
    ),
    leads_to=_leads_to,
    says=_says,
    fills=_fill,
)
