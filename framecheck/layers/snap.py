"""SNAP: a type behind LLC (RFC 1042 "Header Format")."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from framecheck.core.finding import rfc
from framecheck.core.layer import Carried, Layer, LayerKind, Next, octets, uint
from framecheck.layers._ethertype import words
from framecheck.layers._words import mac


def _leads_to(layer: Layer) -> Next | None:
    kind = layer.number("protocol_type")
    # Only under organization code zero is the type one of Ethernet's.
    if kind is None or layer.number("organization_code"):
        return None
    return Next("ethertype", (kind,), layer.limit)


def _fill(values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    return {"protocol_type": carried.entered_by.get("ethertype", 0)}


SNAP = LayerKind(
    name="snap",
    source=rfc(1042, "Header Format"),
    entered_by=(("service-access-point", 0xAA),),
    table=(
        octets("organization_code", 3, mac, bytes(3)),
        uint("protocol_type", 16, words),
    ),
    leads_to=_leads_to,
    fills=_fill,
)
