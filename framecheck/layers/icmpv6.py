"""ICMPv6: errors that quote a datagram, echo, listeners of groups, and neighbor discovery.

RFC 4443 (from memory), RFC 4861 4, RFC 3810 5 (from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cache
from typing import Any

from framecheck.core.finding import rfc
from framecheck.core.layer import (
    Carried,
    Column,
    Layer,
    LayerKind,
    Next,
    choose,
    encode,
    octets,
    optional,
    uint,
)
from framecheck.core.series import options
from framecheck.layers._groups import floating, query, records
from framecheck.layers._ports import about, addresses, transport_sum
from framecheck.layers._words import colons, count, milliseconds, seconds
from framecheck.layers.assigned.icmpv6 import CODES, TYPES
from framecheck.layers.assigned.neighbor_options import OPTIONS

_NUMBER = 58
_ERRORS = frozenset((1, 2, 3, 4))


def _delay(value: int) -> str:
    """A time in milliseconds; large ones are small floats (RFC 3810 5.1.3)."""
    return milliseconds(floating(16, value))


def _address(name: str) -> Column:
    return octets(name, 16, colons, bytes(16))


_OPTIONS = options("option", None, OPTIONS, length_counts_all=True, single=(), ends=(), unit=8)
_PAIR = (uint("identifier", 16), uint("sequence_number", 16))
_GROUP = (
    uint("maximum_response_delay", 16, _delay),
    uint("reserved", 16),
    _address("multicast_address"),
)
_PREFERENCES = {0: "medium", 1: "high", 2: "reserved", 3: "low"}
_BY_TYPE: dict[int, tuple[Column, ...]] = {
    1: (uint("unused", 32),),
    2: (uint("mtu", 32),),
    3: (uint("unused", 32),),
    4: (uint("pointer", 32),),
    128: _PAIR,
    129: _PAIR,
    130: (*_GROUP, optional(*query(16, colons))),
    131: _GROUP,
    132: _GROUP,
    133: (uint("reserved", 32), _OPTIONS),
    134: (
        uint("cur_hop_limit", 8),
        uint("managed_address_configuration", 1),
        uint("other_configuration", 1),
        uint("home_agent", 1),
        uint("default_router_preference", 2, _PREFERENCES),
        uint("reserved", 3),
        uint("router_lifetime", 16, seconds),
        uint("reachable_time", 32, milliseconds),
        uint("retrans_timer", 32, milliseconds),
        _OPTIONS,
    ),
    135: (uint("reserved", 32), _address("target_address"), _OPTIONS),
    136: (
        uint("router", 1),
        uint("solicited", 1),
        uint("override", 1),
        uint("reserved", 29),
        _address("target_address"),
        _OPTIONS,
    ),
    137: (
        uint("reserved", 32),
        _address("target_address"),
        _address("destination_address"),
        _OPTIONS,
    ),
    143: records("number_of_multicast_address_records", 16, colons),
}


@cache
def _by_type(kind: int) -> tuple[Column, ...]:
    return (uint("code", 8, CODES.get(kind)), uint("checksum", 16), *_BY_TYPE.get(kind, ()))


def _leads_to(layer: Layer) -> Next | None:
    # An error within an error is not opened: RFC 4443 2.4 forbids to answer one.
    if layer.quoted or layer.number("type") not in _ERRORS:
        return None
    return Next("ethertype", (0x86DD,), layer.limit, quoted=True)


def _read(layer: Layer, name: str, other: str = "somebody") -> str:
    f = layer.get(name)
    return (f.reads or other) if f is not None and f.whole else other


def _solicits(layer: Layer, source: str) -> str:
    target = _read(layer, "target_address")
    if source == "::":
        return f"neighbor solicitation: does anybody have {target}?"
    return f"neighbor solicitation for {target} (from {source})"


def _advertises(layer: Layer, source: str) -> str:
    where = _read(layer, "target_link_layer_address", "an address that it does not say")
    return f"neighbor advertisement: {_read(layer, 'target_address')} is at {where}"


def _looks_for_router(layer: Layer, source: str) -> str:
    return f"router solicitation from {source}"


def _is_router(layer: Layer, source: str) -> str:
    prefix, length = layer.get("prefix"), layer.number("prefix_length")
    told = f", prefix {prefix.reads}/{length}" if prefix is not None and prefix.whole else ""
    verb = "is a router" if layer.number("router_lifetime") else "is no default router"
    return f"router advertisement: {source} {verb}{told}"


def _redirects(layer: Layer, source: str) -> str:
    first, end = _read(layer, "target_address"), _read(layer, "destination_address")
    return f"redirect: {end} is reached through {first}"


def _queries(layer: Layer, source: str) -> str:
    group = _read(layer, "multicast_address", "::")
    return f"multicast listener query for {'any group' if group == '::' else group} from {source}"


def _listens(layer: Layer, source: str) -> str:
    return f"{source} listens to {_read(layer, 'multicast_address')}"


def _leaves(layer: Layer, source: str) -> str:
    return f"{source} no longer listens to {_read(layer, 'multicast_address')}"


def _reports(layer: Layer, source: str) -> str:
    groups = layer.groups
    if len(groups) == 1:
        return f"{source} reports the group {_read(layer, 'multicast_address')}"
    return f"{source} reports {count(len(groups), 'group')}"


_SAYS: Mapping[int, Callable[[Layer, str], str]] = {
    130: _queries,
    131: _listens,
    132: _leaves,
    133: _looks_for_router,
    134: _is_router,
    135: _solicits,
    136: _advertises,
    137: _redirects,
    143: _reports,
}


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    kind, code = layer.number("type"), layer.number("code")
    if kind is None:
        return None
    source, target = addresses(layer, layers)
    if kind in _SAYS:
        return _SAYS[kind](layer, source or "somebody")
    ends = f" from {source} to {target}" if source else ""
    if kind in (128, 129):
        number = layer.number("sequence_number")
        which = "" if number is None else f" {number}"
        return f"echo {'request' if kind == 128 else 'reply'}{which}{ends}"
    name = TYPES.get(kind, f"ICMPv6 type {kind}")
    reason = None if code is None else CODES.get(kind, {}).get(code)
    quoted = about(layers[layers.index(layer) + 1 :])
    return f"{name}{f' ({reason})' if reason else ''}{quoted}{ends}"


def _fill(values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    message = encode(ICMPV6, {**values, "checksum": 0}) + carried.octets
    return {"checksum": transport_sum(carried.below, _NUMBER, message)}


ICMPV6 = LayerKind(
    name="icmpv6",
    source=rfc(4861, "4"),
    entered_by=(("next-header", 58),),
    table=(uint("type", 8, TYPES), choose(("type",), _by_type)),
    leads_to=_leads_to,
    says=_says,
    fills=_fill,
)
