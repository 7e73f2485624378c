"""LLDP: what a station tells its neighbor on the link (IEEE 802.1AB 8, from memory)."""

from __future__ import annotations

from collections.abc import Sequence

from framecheck.core.finding import memory
from framecheck.core.layer import Layer, LayerKind, Next
from framecheck.core.series import options
from framecheck.layers.assigned.lldp import TYPE_LENGTH_VALUES


def _leads_to(layer: Layer) -> Next | None:
    # Behind the end mark stands what fills the frame up.
    return Next("", (), layer.stop)


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    name, port = layer.get("system_name"), layer.get("port_id")
    who = name or layer.get("chassis_id")
    if who is None:
        return "LLDP without a name"
    where = f", port {port.reads or port.raw.hex()}" if port is not None else ""
    return f"LLDP: this is {who.reads or who.raw.hex()}{where}"


LLDP = LayerKind(
    name="lldp",
    source=memory("IEEE 802.1AB", "8"),
    entered_by=(("ethertype", 0x88CC),),
    table=(
        options(
            "tlv",
            None,
            TYPE_LENGTH_VALUES,
            length_counts_all=False,
            single=(),
            padding=None,
            code_bits=7,
            length_bits=9,
        ),
    ),
    leads_to=_leads_to,
    says=_says,
)
