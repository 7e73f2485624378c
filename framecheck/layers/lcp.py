"""LCP: two ends of a link agree on how they talk (RFC 1661 5 and 6, from memory)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.finding import memory
from framecheck.core.layer import Carried, Layer, LayerKind, octets, uint
from framecheck.core.series import Option
from framecheck.layers._configuration import CODES, fill, leads_to, said, table
from framecheck.layers._words import unit
from framecheck.layers.assigned.ppp_protocols import PROTOCOLS

_ALL_CODES = {
    **CODES,
    8: "protocol-reject",
    9: "echo-request",
    10: "echo-reply",
    11: "discard-request",
}
_MAGIC = (uint("magic_number", 32),)
_OPTIONS = {
    1: Option("maximum_receive_unit", unit("octet"), number=2),
    2: Option("async_control_character_map", number=4),
    3: Option(
        "authentication",
        table=(uint("authentication_protocol", 16, PROTOCOLS), octets("authentication_data", None)),
        least=2,
    ),
    4: Option(
        "quality",
        table=(uint("quality_protocol", 16, PROTOCOLS), octets("quality_data", None)),
        least=2,
    ),
    5: Option("magic_number", number=4),
    7: Option("protocol_field_compression"),
    8: Option("address_and_control_field_compression"),
}


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    return said("LCP", _ALL_CODES, layer)


def _fill(values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    return fill(LCP, values, carried)


LCP = LayerKind(
    name="lcp",
    source=memory("RFC 1661", "5"),
    entered_by=(("ppp-protocol", 0xC021),),
    table=table(
        _OPTIONS,
        _ALL_CODES,
        {8: (uint("rejected_protocol", 16, PROTOCOLS),), 9: _MAGIC, 10: _MAGIC, 11: _MAGIC},
    ),
    leads_to=leads_to,
    says=_says,
    fills=_fill,
)
