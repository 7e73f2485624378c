"""IPv6 routing header: nodes to pass on the way (RFC 8200 4.4)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.finding import rfc
from framecheck.core.layer import Carried, Column, Got, Layer, LayerKind, choose, octets, uint
from framecheck.core.series import repeat
from framecheck.layers._next_header import EXTENSION, fill, follows, says, size
from framecheck.layers._words import colons

_TYPES = {
    0: "source route, deprecated by RFC 5095",
    2: "home address",
    3: "RPL source route",
    4: "segments",
    253: "experiment 1",
    254: "experiment 2",
}
_FIXED = 2  # octets of type and segments left


def _rest(got: Got) -> int:
    return size(got) - _FIXED


def _addresses(got: Got) -> int:
    return (_rest(got) - 4) // 16


def _left_over(got: Got) -> int:
    return (_rest(got) - 4) % 16


_ROUTE: tuple[Column, ...] = (
    uint("reserved", 32),
    repeat("addresses", _addresses, (octets("address", 16, colons),)),
    octets("type_specific_data", _left_over),
)
# RFC 2460 4.4 (type 0) and RFC 6275 6.4.1 (type 2), from memory; of other types the octets.
_BY_TYPE = {0: _ROUTE, 2: _ROUTE}
_PLAIN: tuple[Column, ...] = (octets("type_specific_data", _rest, default=bytes(4)),)


def _by_type(routing_type: int) -> tuple[Column, ...]:
    return _BY_TYPE.get(routing_type, _PLAIN)


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    return says("a routing header", layers)


def _fill(values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    return fill(ROUTING, values, carried)


ROUTING = LayerKind(
    name="ipv6-routing",
    source=rfc(8200, "4.4"),
    entered_by=(("next-header", 43),),
    table=(
        *EXTENSION,
        uint("routing_type", 8, _TYPES),
        uint("segments_left", 8),
        choose(("routing_type",), _by_type),
    ),
    leads_to=follows,
    says=_says,
    fills=_fill,
)
