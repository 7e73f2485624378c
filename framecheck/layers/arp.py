"""ARP: which hardware address has this protocol address? (RFC 826)."""

from __future__ import annotations

from collections.abc import Sequence

from framecheck.core.finding import rfc
from framecheck.core.layer import Layer, LayerKind
from framecheck.layers._arp import ends, table


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    operation = layer.number("operation")
    if operation is None:
        return "the first octets of an ARP packet"
    names = ("sender_hardware_address", "sender_protocol_address", "target_protocol_address")
    if operation not in (1, 2) or not layer.whole(*names):
        return f"ARP with operation {layer['operation'].reads or operation}"
    hardware, sender, target = (layer[n].reads for n in names)
    if operation == 2:
        return f"ARP: {sender} is at {hardware}"
    if sender == target:
        return f"ARP announces {sender} at {hardware}"
    if not layer.number("sender_protocol_address"):
        return f"ARP asks whether anybody has {target} (from {hardware})"
    return f"ARP asks for {target} (from {sender})"


ARP = LayerKind(
    name="arp",
    source=rfc(826, "Packet format"),
    entered_by=(("ethertype", 0x0806),),
    table=table(1),
    leads_to=ends,
    says=_says,
)
