"""IPv6 destination options: options for the destination alone (RFC 8200 4.6)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.finding import rfc
from framecheck.core.layer import Carried, Layer, LayerKind
from framecheck.layers._next_header import OPTIONS_TABLE, fill, follows, says


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    return says("destination options", layers)


def _fill(values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    return fill(DESTINATION_OPTIONS, values, carried)


DESTINATION_OPTIONS = LayerKind(
    name="ipv6-destination-options",
    source=rfc(8200, "4.6"),
    entered_by=(("next-header", 60),),
    table=OPTIONS_TABLE,
    leads_to=follows,
    says=_says,
    fills=_fill,
)
