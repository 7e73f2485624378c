"""RARP: which protocol address has this hardware address? (RFC 903, from memory)."""

from __future__ import annotations

from collections.abc import Sequence

from framecheck.core.finding import memory
from framecheck.core.layer import Layer, LayerKind
from framecheck.layers._arp import ends, table


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    operation = layer.number("operation")
    if operation is None:
        return "the first octets of a RARP packet"
    names = ("target_hardware_address", "target_protocol_address")
    if operation not in (3, 4) or not layer.whole(*names):
        return f"RARP with operation {layer['operation'].reads or operation}"
    hardware, protocol = (layer[n].reads for n in names)
    if operation == 3:
        return f"RARP asks for the address of {hardware}"
    return f"RARP: {hardware} has {protocol}"


RARP = LayerKind(
    name="rarp",
    source=memory("RFC 903", ""),
    entered_by=(("ethertype", 0x8035),),
    table=table(3),
    leads_to=ends,
    says=_says,
)
