"""What transports share: ports and both ends in words, and the sum with a pseudo-header."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any

from framecheck.core.layer import Layer, Words
from framecheck.core.sums import checksum, pseudo_header, pseudo_header_ipv6


def words(transport: str) -> Words:
    """Words for the ports of ``udp`` or ``tcp``."""
    return partial(_service, transport)


def _service(transport: str, port: int) -> str | None:
    from framecheck.layers.assigned.ports import TCP_PORTS, UDP_PORTS

    return (UDP_PORTS if transport == "udp" else TCP_PORTS).get(port)


def between(layer: Layer, layers: Sequence[Layer]) -> str:
    """Both ends of a datagram or segment: ``from ADDRESS port N to ADDRESS port N``."""
    source, target = addresses(layer, layers)
    ports = layer.number("source_port"), layer.number("destination_port")
    ends = [
        f"{where} port {port}".strip() for where, port in zip((source, target), ports, strict=True)
    ]
    return f"from {ends[0]} to {ends[1]}"


def addresses(layer: Layer, layers: Sequence[Layer]) -> tuple[str, str]:
    """Source and destination of the IP header that carries a layer, empty where there is none."""
    at = layers.index(layer)
    ip = next((x for x in reversed(layers[:at]) if x.kind in ("ipv4", "ipv6")), None)
    found = ("", "")
    if ip is not None and ip.whole("source_address", "destination_address"):
        found = (ip["source_address"].reads or "", ip["destination_address"].reads or "")
    return found


def about(quoted: Sequence[Layer]) -> str:
    """Which datagram an error speaks of: ``quoted`` are the layers behind the error's own."""
    ip = next((x for x in quoted if x.kind in ("ipv4", "ipv6")), None)
    if ip is None or not ip.whole("destination_address"):
        return ""
    after = next((x for x in quoted if x.kind in ("udp", "tcp")), None)
    port = after.number("destination_port") if after else None
    where = f"{ip['destination_address'].reads}" + (f" port {port}" if port is not None else "")
    return f" for {where},"


def transport_sum(ip: Mapping[str, Any], protocol: int, segment: bytes) -> int:
    """The checksum of a segment whose own field is zero, with the pseudo-header of its IP.

    ``ip``: the values of the headers below; absent addresses count as zero.
    """
    source = bytes(ip.get("source_address", bytes(4)))
    destination = bytes(ip.get("destination_address", bytes(4)))
    if len(source) == len(destination) == 16:
        head = pseudo_header_ipv6(source, destination, protocol, len(segment))
        return checksum(head, segment)
    return checksum(pseudo_header(source, destination, protocol, len(segment)), segment)
