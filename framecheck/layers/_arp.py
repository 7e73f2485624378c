"""The packet that ARP and RARP share (RFC 826 "Packet format", RFC 903)."""

from __future__ import annotations

from framecheck.core.layer import Column, Layer, Next, octets, uint
from framecheck.layers._ethertype import words
from framecheck.layers._words import address, mac
from framecheck.layers.assigned.arp import HARDWARE_TYPES, OPERATIONS


def ends(layer: Layer) -> Next | None:
    """Nothing follows: what stands behind the packet is padding."""
    return Next("", (), layer.stop)


def table(operation: int) -> tuple[Column, ...]:
    """The columns; ``operation``: the number that is written where none is given."""
    return (
        uint("hardware_type", 16, HARDWARE_TYPES, default=1),
        uint("protocol_type", 16, words, default=0x0800),
        uint("hardware_length", 8, default=6),
        uint("protocol_length", 8, default=4),
        uint("operation", 16, OPERATIONS, default=operation),
        # The two lengths rule what follows: damage there moves every later edge.
        octets("sender_hardware_address", "hardware_length", mac, bytes(6)),
        octets("sender_protocol_address", "protocol_length", address, bytes(4)),
        octets("target_hardware_address", "hardware_length", mac, bytes(6)),
        octets("target_protocol_address", "protocol_length", address, bytes(4)),
    )
