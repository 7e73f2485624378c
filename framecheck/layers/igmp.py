"""IGMP versions 1 to 3: who listens to which group (RFC 1112, RFC 2236, RFC 3376; from memory)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any

from framecheck.core.finding import memory
from framecheck.core.layer import (
    Carried,
    Column,
    Layer,
    LayerKind,
    choose,
    encode,
    octets,
    optional,
    uint,
)
from framecheck.core.sums import checksum
from framecheck.layers._groups import query, records, tenths
from framecheck.layers._ports import addresses
from framecheck.layers._words import count, dotted
from framecheck.layers.assigned.igmp import TYPES

_GROUP = octets("group_address", 4, dotted, bytes(4))


@cache
def _by_type(kind: int) -> tuple[Column, ...]:
    if kind == 0x22:
        return (
            uint("reserved1", 8),
            uint("checksum", 16),
            *records("number_of_group_records", 4, dotted),
        )
    if kind == 0x11:
        # 8 octets are version 1 (time 0) or 2, 12 and more are version 3 (RFC 3376 7.1).
        later = optional(*query(4, dotted))
        return uint("max_resp_code", 8, tenths), uint("checksum", 16), _GROUP, later
    return uint("max_resp_time", 8), uint("checksum", 16), _GROUP


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    kind = layer.number("type")
    if kind is None:
        return None
    source = addresses(layer, layers)[0] or "somebody"
    group = layer.get("group_address") or layer.get("multicast_address")
    which = (group.reads or "") if group is not None and group.whole else "a group"
    if kind == 0x11:
        return f"IGMP asks who listens to {'any group' if which == '0.0.0.0' else which}"
    if kind == 0x17:
        return f"IGMP: {source} leaves {which}"
    if kind == 0x22 and len(layer.groups) != 1:
        return f"IGMP: {source} reports {count(len(layer.groups), 'group')}"
    if kind in (0x12, 0x16, 0x22):
        return f"IGMP: {source} reports the group {which}"
    return f"IGMP type {kind:#04x} from {source}"


def _fill(values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    return {"checksum": checksum(encode(IGMP, {**values, "checksum": 0}) + carried.octets)}


IGMP = LayerKind(
    name="igmp",
    source=memory("RFC 3376", "4"),
    entered_by=(("ip-protocol", 2),),
    table=(uint("type", 8, TYPES, default=0x11), choose(("type",), _by_type, default=0x11)),
    says=_says,
    fills=_fill,
)
