"""Kinds of frames by name: each layer that a frame has, and what its message is."""

from __future__ import annotations

from framecheck.core.sheet import FrameRecord

# The field whose reading tells one message of a layer from another.
_MESSAGE = {
    "arp": "operation",
    "rarp": "operation",
    "dhcp": "dhcp_message_type",
    "dhcpv6": "message_type",
    "dns": "qr",
    "icmp": "type",
    "icmpv6": "type",
    "igmp": "type",
}
_NO_KIND = ("payload", "padding")


def kinds_of(record: FrameRecord) -> tuple[str, ...]:
    """The kinds that a frame is of, outermost first: ``ipv4``, ``udp``, ``dhcp``, ``dhcp ack``."""
    found: dict[str, None] = {}
    for layer in record.layers:
        if layer.quoted or layer.kind in _NO_KIND:
            continue
        found[layer.kind] = None
        field = layer.get(_MESSAGE.get(layer.kind, ""))
        if field is not None and field.reads:
            # DHCP's own names repeat the layer's: DHCPACK.
            message = field.reads.lower().removeprefix(layer.kind)
            found[f"{layer.kind} {message}"] = None
    return tuple(found)
