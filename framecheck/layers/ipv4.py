"""IPv4: the header and its options (RFC 791 3.1)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.finding import rfc
from framecheck.core.layer import (
    Carried,
    Got,
    Layer,
    LayerKind,
    Next,
    encode,
    octets,
    uint,
)
from framecheck.core.series import options
from framecheck.core.sums import checksum
from framecheck.layers._words import dotted
from framecheck.layers.assigned.ip_protocols import PROTOCOLS
from framecheck.layers.assigned.ipv4_options import OPTIONS
from framecheck.layers.assigned.traffic_classes import CODE_POINTS, CONGESTION

_SHORTEST = 20


def _options(got: Got) -> int:
    ihl = got.get("ihl")
    return max(0, ihl.number * 4 - _SHORTEST) if ihl is not None and ihl.whole else 0


def _leads_to(layer: Layer) -> Next | None:
    total, protocol = layer.number("total_length"), layer.number("protocol")
    if total is None or protocol is None:
        return None
    stop = layer.start + total * 8
    if stop < layer.stop:
        stop = layer.limit  # a length that cannot be: all that is there may belong to it
    # A later fragment begins somewhere inside the transport's data.
    first = layer.number("fragment_offset") == 0
    behind = "payload" if layer.quoted else "padding"
    return Next(
        "ip-protocol", (protocol,) if first else (), min(stop, layer.limit), layer.quoted, behind
    )


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    if not layer.whole("source_address", "destination_address"):
        return "the first octets of an IPv4 datagram"
    ends = f"from {layer['source_address'].reads} to {layer['destination_address'].reads}"
    number = layer.number("protocol")
    carries = layer["protocol"].reads or f"protocol {number}"
    offset = layer.number("fragment_offset")
    if offset:
        return f"IPv4 fragment of {carries} {ends}, at octet {offset * 8}"
    return f"IPv4 with {carries} {ends}"


def _fill(values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    header = len(encode(IPV4, {**values}))
    found: dict[str, Any] = {
        "ihl": -(-header // 4),
        "total_length": header + len(carried.octets),
        "protocol": carried.entered_by.get("ip-protocol", 253),
    }
    found["header_checksum"] = checksum(encode(IPV4, {**found, **values, "header_checksum": 0}))
    return found


IPV4 = LayerKind(
    name="ipv4",
    source=rfc(791, "3.1"),
    entered_by=(("ethertype", 0x0800), ("ppp-protocol", 0x0021)),
    table=(
        uint("version", 4, default=4),
        uint("ihl", 4, default=5),
        uint("differentiated_services_code_point", 6, CODE_POINTS),
        uint("explicit_congestion_notification", 2, CONGESTION),
        uint("total_length", 16),
        uint("identification", 16),
        uint("reserved_flag", 1),
        uint("dont_fragment", 1),
        uint("more_fragments", 1),
        uint("fragment_offset", 13),
        uint("time_to_live", 8, default=64),
        uint("protocol", 8, PROTOCOLS),
        uint("header_checksum", 16),
        octets("source_address", 4, dotted, bytes(4)),
        octets("destination_address", 4, dotted, bytes(4)),
        options("option", _options, OPTIONS, length_counts_all=True, single=(0, 1)),
    ),
    leads_to=_leads_to,
    says=_says,
    fills=_fill,
)
