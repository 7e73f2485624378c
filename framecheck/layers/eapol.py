"""EAP over LAN: who may use the port (IEEE 802.1X 11.3, from memory); the header alone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.finding import memory
from framecheck.core.layer import Carried, Layer, LayerKind, Next, uint

_TYPES = {
    0: "EAP packet",
    1: "start",
    2: "logoff",
    3: "key",
    4: "encapsulated alert",
    5: "key agreement",
    6: "announcement",
}


def _leads_to(layer: Layer) -> Next | None:
    length = layer.number("packet_body_length")
    if length is None:
        return None
    return Next("", (), min(layer.stop + length * 8, layer.limit))


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    kind = layer.number("packet_type")
    return None if kind is None else f"EAP over LAN: {_TYPES.get(kind, f'type {kind}')}"


def _fill(values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    return {"packet_body_length": len(carried.octets)}


EAPOL = LayerKind(
    name="eapol",
    source=memory("IEEE 802.1X", "11.3"),
    entered_by=(("ethertype", 0x888E),),
    table=(
        uint("protocol_version", 8, default=2),
        uint("packet_type", 8, _TYPES),
        uint("packet_body_length", 16),
    ),
    leads_to=_leads_to,
    says=_says,
    fills=_fill,
)
