"""IPv6 hop-by-hop options: options that every node on the way looks at (RFC 8200 4.3)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.finding import rfc
from framecheck.core.layer import Carried, Layer, LayerKind
from framecheck.layers._next_header import OPTIONS_TABLE, fill, follows, says


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    return says("hop-by-hop options", layers)


def _fill(values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    return fill(HOP_BY_HOP, values, carried)


HOP_BY_HOP = LayerKind(
    name="ipv6-hop-by-hop",
    source=rfc(8200, "4.3"),
    entered_by=(("next-header", 0),),
    table=OPTIONS_TABLE,
    leads_to=follows,
    says=_says,
    fills=_fill,
)
