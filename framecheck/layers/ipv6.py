"""IPv6: the fixed header (RFC 8200 3); extension headers are layers of their own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.finding import rfc
from framecheck.core.layer import Carried, Layer, LayerKind, Next, octets, uint
from framecheck.layers._next_header import NEXT_HEADER, NO_NEXT_HEADER
from framecheck.layers._words import colons
from framecheck.layers.assigned.traffic_classes import CODE_POINTS, CONGESTION


def _traffic_class(value: int) -> str | None:
    """Six bits of a code point and two of congestion notification (RFC 8200 7)."""
    point = CODE_POINTS.get(value >> 2, f"code point {value >> 2}")
    return f"{point}, congestion notification {CONGESTION[value & 3]}" if value else None


def _leads_to(layer: Layer) -> Next | None:
    length, number = layer.number("payload_length"), layer.number("next_header")
    # The end cuts the header off when its last address is not whole.
    if length is None or number is None or not layer.whole("destination_address"):
        return None
    stop = min(layer.stop + length * 8, layer.limit)
    if not length and not number:
        stop = layer.limit  # a jumbo payload has its length in a hop-by-hop option (RFC 2675 3)
    behind = "payload" if layer.quoted else "padding"
    return Next("next-header", (number,), stop, layer.quoted, behind)


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    if not layer.whole("source_address", "destination_address"):
        return "the first octets of an IPv6 datagram"
    ends = f"from {layer['source_address'].reads} to {layer['destination_address'].reads}"
    number = layer.number("next_header")
    if number == NO_NEXT_HEADER:
        return f"IPv6 that carries nothing {ends}"
    return f"IPv6 with {layer['next_header'].reads or f'next header {number}'} {ends}"


def _fill(values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    return {
        "payload_length": len(carried.octets),
        "next_header": carried.entered_by.get("next-header", NO_NEXT_HEADER),
    }


IPV6 = LayerKind(
    name="ipv6",
    source=rfc(8200, "3"),
    entered_by=(("ethertype", 0x86DD), ("ppp-protocol", 0x0057)),
    table=(
        uint("version", 4, default=6),
        uint("traffic_class", 8, _traffic_class),
        uint("flow_label", 20),
        uint("payload_length", 16),
        NEXT_HEADER,
        uint("hop_limit", 8, default=64),
        octets("source_address", 16, colons, bytes(16)),
        octets("destination_address", 16, colons, bytes(16)),
    ),
    leads_to=_leads_to,
    says=_says,
    fills=_fill,
)
