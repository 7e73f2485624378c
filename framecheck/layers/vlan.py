"""VLAN tag: priority and identifier between the addresses and the type (IEEE 802.1Q)."""

from __future__ import annotations

from framecheck.core.finding import memory
from framecheck.core.layer import LayerKind, uint
from framecheck.layers._ethertype import TYPE_OR_LENGTH, fill, follows

_IDENTIFIERS = {0: "priority only", 1: "default", 0xFFF: "reserved"}

VLAN = LayerKind(
    name="vlan",
    source=memory("IEEE 802.1Q", "9.6"),
    # The type in front of the tag stands in the header below; 0x88a8 is the service tag.
    entered_by=(("ethertype", 0x8100), ("ethertype", 0x88A8)),
    table=(
        uint("priority_code_point", 3),
        uint("drop_eligible_indicator", 1),
        uint("vlan_identifier", 12, _IDENTIFIERS),
        TYPE_OR_LENGTH,
    ),
    leads_to=follows,
    fills=fill,
)
