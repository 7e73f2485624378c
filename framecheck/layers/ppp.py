"""PPP: the number of what a packet carries (RFC 1661 2, from memory)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.finding import memory
from framecheck.core.layer import (
    Carried,
    Column,
    Cursor,
    Field,
    Got,
    Group,
    Layer,
    LayerKind,
    Next,
)
from framecheck.layers.assigned.ppp_protocols import PROTOCOLS


def _read(cursor: Cursor, got: Got) -> tuple[Sequence[Field], Sequence[Group]]:
    """Two octets; one where an odd first octet shows that it was compressed (RFC 1661 6.5)."""
    odd = cursor.left >= 8 and cursor.octets[cursor.at >> 3] & 1
    return (cursor.uint("protocol", 8 if odd else 16, PROTOCOLS.get),), ()


def _write(values: Mapping[str, Any]) -> tuple[int, int]:
    given = values.get("protocol", b"")
    if isinstance(given, int):
        given = given.to_bytes(2, "big")
    return int.from_bytes(given, "big"), len(given) * 8


def _leads_to(layer: Layer) -> Next | None:
    number = layer.number("protocol")
    return None if number is None else Next("ppp-protocol", (number,), layer.limit)


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    number = layer.number("protocol")
    if number is None:
        return None
    return f"PPP with {PROTOCOLS.get(number, f'protocol {number:#06x}')}"


def _fill(values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    return {"protocol": carried.entered_by.get("ppp-protocol", 0)}


PPP = LayerKind(
    name="ppp",
    source=memory("RFC 1661", "2"),
    entered_by=(("pppoe-code", 0), ("hdlc-control", 0x03)),
    # Written from "protocol": a number takes two octets, octets stand as they are.
    table=(Column("protocol", _read, _write, True),),
    leads_to=_leads_to,
    says=_says,
    fills=_fill,
)
