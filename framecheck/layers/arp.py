"""ARP: which hardware address has this protocol address? (RFC 826)."""

from __future__ import annotations

from collections.abc import Sequence

from framecheck.core.finding import rfc
from framecheck.core.layer import Layer, LayerKind, Next, octets, uint
from framecheck.layers._ethertype import words
from framecheck.layers._words import address, mac
from framecheck.layers.assigned.arp import HARDWARE_TYPES, OPERATIONS


def _leads_to(layer: Layer) -> Next | None:
    return Next("", (), layer.stop)


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
    table=(
        uint("hardware_type", 16, HARDWARE_TYPES, default=1),
        uint("protocol_type", 16, words, default=0x0800),
        uint("hardware_length", 8, default=6),
        uint("protocol_length", 8, default=4),
        uint("operation", 16, OPERATIONS, default=1),
        # The two lengths rule what follows: damage there moves every later edge.
        octets("sender_hardware_address", "hardware_length", mac, bytes(6)),
        octets("sender_protocol_address", "protocol_length", address, bytes(4)),
        octets("target_hardware_address", "hardware_length", mac, bytes(6)),
        octets("target_protocol_address", "protocol_length", address, bytes(4)),
    ),
    leads_to=_leads_to,
    says=_says,
)
