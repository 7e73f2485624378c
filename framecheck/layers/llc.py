"""LLC: the service access points behind a length (IEEE 802.2, RFC 1042 "Header Format")."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.finding import rfc
from framecheck.core.layer import Carried, Column, Layer, LayerKind, Next, choose, uint
from framecheck.layers.assigned.llc import SERVICE_ACCESS_POINTS

_UNNUMBERED = {0x03: "unnumbered information", 0xAF: "exchange identification", 0xE3: "test"}


def _second(control: int) -> tuple[Column, ...]:
    # Unnumbered formats have one control octet, the two numbered ones have two.
    return () if control & 3 == 3 else (uint("control_continued", 8),)


def _leads_to(layer: Layer) -> Next | None:
    dsap, ssap, control = (layer.number(n) for n in ("dsap", "ssap", "control"))
    if dsap is None or dsap != ssap or control != 3:
        return None
    return Next("service-access-point", (dsap,), layer.limit)


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    dsap = layer.number("dsap")
    if dsap is None:
        return None
    return f"802.2 frame for {layer['dsap'].reads or f'service access point 0x{dsap:02x}'}"


def _fill(values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    number = carried.entered_by.get("service-access-point", 0)
    return {"dsap": number, "ssap": number}


LLC = LayerKind(
    name="llc",
    source=rfc(1042, "Header Format"),
    entered_by=(("length", 0),),
    table=(
        uint("dsap", 8, SERVICE_ACCESS_POINTS),
        uint("ssap", 8, SERVICE_ACCESS_POINTS),
        uint("control", 8, _UNNUMBERED, default=3),
        choose(("control",), _second, default=3),
    ),
    leads_to=_leads_to,
    says=_says,
    fills=_fill,
)
