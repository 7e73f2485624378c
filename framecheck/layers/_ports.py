"""What UDP and TCP share: ports in words, both ends in words, and the sum of RFC 768."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any

from framecheck.core.layer import Layer, Words
from framecheck.core.sums import checksum, pseudo_header


def words(transport: str) -> Words:
    """Words for the ports of ``udp`` or ``tcp``."""
    return partial(_service, transport)


def _service(transport: str, port: int) -> str | None:
    from framecheck.layers.assigned.ports import TCP_PORTS, UDP_PORTS

    return (UDP_PORTS if transport == "udp" else TCP_PORTS).get(port)


def between(layer: Layer, layers: Sequence[Layer]) -> str:
    """Both ends of a datagram or segment: ``from ADDRESS port N to ADDRESS port N``."""
    at = layers.index(layer)
    ip = layers[at - 1] if at and layers[at - 1].kind == "ipv4" else None
    source = ip["source_address"].reads if ip and ip.whole("source_address") else ""
    target = ip["destination_address"].reads if ip and ip.whole("destination_address") else ""
    ports = layer.number("source_port"), layer.number("destination_port")
    ends = [
        f"{where} port {port}".strip() for where, port in zip((source, target), ports, strict=True)
    ]
    return f"from {ends[0]} to {ends[1]}"


def transport_sum(ip: Mapping[str, Any], protocol: int, segment: bytes) -> int:
    """The checksum of a segment whose own field is zero, with the pseudo-header of IPv4.

    ``ip``: the values of the IPv4 header below; absent addresses count as zero.
    """
    source = bytes(ip.get("source_address", bytes(4)))
    destination = bytes(ip.get("destination_address", bytes(4)))
    return checksum(pseudo_header(source, destination, protocol, len(segment)), segment)
