"""IPv6 fragment header: a piece of a datagram that was too large (RFC 8200 4.5)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.finding import rfc
from framecheck.core.layer import Carried, Layer, LayerKind, Next, uint
from framecheck.layers._next_header import NEXT_HEADER, NO_NEXT_HEADER, says


def _leads_to(layer: Layer) -> Next | None:
    number = layer.number("next_header")
    # A later fragment begins somewhere inside what was cut up.
    if number is None or layer.number("fragment_offset") != 0 or not layer.whole("identification"):
        return None
    return Next("next-header", (number,), layer.limit, layer.quoted)


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    offset = layer.number("fragment_offset")
    if offset is None:
        return None
    carries = layer["next_header"].reads or f"next header {layer.number('next_header')}"
    return says(f"a fragment of {carries}, at octet {offset * 8},", layers)


def _fill(values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    return {"next_header": carried.entered_by.get("next-header", NO_NEXT_HEADER)}


FRAGMENT = LayerKind(
    name="ipv6-fragment",
    source=rfc(8200, "4.5"),
    entered_by=(("next-header", 44),),
    table=(
        NEXT_HEADER,
        uint("reserved", 8),
        uint("fragment_offset", 13),
        uint("res", 2),
        uint("more_fragments", 1),
        uint("identification", 32),
    ),
    leads_to=_leads_to,
    says=_says,
    fills=_fill,
)
