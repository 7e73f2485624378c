"""Spanning tree: what bridges tell each other (IEEE 802.1D 9.3, from memory)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.finding import memory
from framecheck.core.layer import Carried, Column, Layer, LayerKind, choose, octets, uint
from framecheck.layers._words import decimal, mac

_VERSIONS = {0: "spanning tree", 2: "rapid spanning tree", 3: "multiple spanning trees"}
_CONFIGURATION, _CHANGE, _RAPID = 0x00, 0x80, 0x02
_TYPES = {_CONFIGURATION: "configuration", _CHANGE: "topology change", _RAPID: "rapid"}
_ROLES = {0: "unknown", 1: "alternate or backup", 2: "root", 3: "designated"}


def _fraction(value: int) -> str:
    """A time in 256ths of a second (IEEE 802.1D 9.2.8)."""
    return decimal(value / 256)


def _bridge(which: str) -> tuple[Column, ...]:
    """Eight octets: four bits of priority, twelve of a system, and the bridge's address."""
    return (
        uint(f"{which}_priority", 4, _priority, 8),
        uint(f"{which}_system_id_extension", 12),
        octets(f"{which}_address", 6, mac, bytes(6)),
    )


def _priority(value: int) -> str:
    return str(value << 12)


_BODY: tuple[Column, ...] = (
    uint("topology_change_acknowledgment", 1),
    uint("agreement", 1),
    uint("forwarding", 1),
    uint("learning", 1),
    uint("port_role", 2, _ROLES),
    uint("proposal", 1),
    uint("topology_change", 1),
    *_bridge("root"),
    uint("root_path_cost", 32),
    *_bridge("bridge"),
    uint("port_identifier", 16),
    uint("message_age", 16, _fraction),
    uint("max_age", 16, _fraction),
    uint("hello_time", 16, _fraction),
    uint("forward_delay", 16, _fraction),
)


def _by_type(kind: int) -> tuple[Column, ...]:
    if kind == _RAPID:
        return (*_BODY, uint("version_1_length", 8))
    return _BODY if kind == _CONFIGURATION else ()


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    kind = layer.number("bpdu_type")
    if kind is None:
        return None
    if kind == _CHANGE:
        return "spanning tree: the topology changes"
    root, bridge = layer.get("root_address"), layer.get("bridge_address")
    if root is None or bridge is None or not bridge.whole:
        return f"spanning tree message of type {kind}"
    if root.raw == bridge.raw:
        return f"spanning tree: {bridge.reads} is the root"
    return f"spanning tree: {bridge.reads} knows {root.reads} as the root"


def _fill(values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    return {"protocol_version_identifier": _RAPID if values.get("bpdu_type") == _RAPID else 0}


STP = LayerKind(
    name="stp",
    source=memory("IEEE 802.1D", "9.3"),
    entered_by=(("service-access-point", 0x42),),
    table=(
        uint("protocol_identifier", 16),
        uint("protocol_version_identifier", 8, _VERSIONS),
        uint("bpdu_type", 8, _TYPES),
        choose(("bpdu_type",), _by_type),
    ),
    says=_says,
    fills=_fill,
)
