"""ICMP: echo, timestamps, and errors that quote the datagram they are about (RFC 792)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
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
    uint,
)
from framecheck.core.sums import checksum
from framecheck.layers._ports import about
from framecheck.layers._words import dotted, seconds
from framecheck.layers.assigned.icmp import CODES, TYPES

_ERRORS = frozenset((3, 4, 5, 11, 12))
_PAIR = (uint("identifier", 16), uint("sequence_number", 16))
_TIMES = tuple(uint(f"{name}_timestamp", 32) for name in ("originate", "receive", "transmit"))
_BY_TYPE: dict[int, tuple[Column, ...]] = {
    0: _PAIR,
    3: (uint("unused", 32),),
    4: (uint("unused", 32),),
    5: (octets("gateway_address", 4, dotted, bytes(4)),),
    8: _PAIR,
    # RFC 1256 3: the list of routers stays payload.
    9: (uint("num_addrs", 8), uint("addr_entry_size", 8, default=2), uint("lifetime", 16, seconds)),
    10: (uint("reserved", 32),),
    11: (uint("unused", 32),),
    12: (uint("pointer", 8), uint("unused", 24)),
    13: _PAIR + _TIMES,
    14: _PAIR + _TIMES,
    15: _PAIR,
    16: _PAIR,
    17: (*_PAIR, octets("address_mask", 4, dotted, bytes(4))),
    18: (*_PAIR, octets("address_mask", 4, dotted, bytes(4))),
}
# RFC 1191 4: the router that had to fragment says what would have passed.
_TOO_BIG = (uint("unused", 16), uint("next_hop_mtu", 16))


def _code(kind: int) -> tuple[Column, ...]:
    return (uint("code", 8, CODES.get(kind)), uint("checksum", 16))


def _by_type(kind: int, code: int) -> tuple[Column, ...]:
    return _TOO_BIG if (kind, code) == (3, 4) else _BY_TYPE.get(kind, ())


def _leads_to(layer: Layer) -> Next | None:
    if layer.quoted or layer.number("type") not in _ERRORS:
        return None
    return Next("ethertype", (0x0800,), layer.limit, quoted=True)


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    kind, code = layer.number("type"), layer.number("code")
    if kind is None:
        return None
    at = layers.index(layer)
    ip = layers[at - 1] if at else None
    ends = ""
    if ip is not None and ip.whole("source_address", "destination_address"):
        ends = f"from {ip['source_address'].reads} to {ip['destination_address'].reads}"
    if kind in (0, 8):
        number = layer.number("sequence_number")
        which = "" if number is None else f" {number}"
        return f"echo {'request' if kind else 'reply'}{which} {ends}".rstrip()
    name = TYPES.get(kind, f"ICMP type {kind}")
    reason = None if code is None else CODES.get(kind, {}).get(code)
    return f"{name}{f' ({reason})' if reason else ''}{about(layers[at + 1 :])} {ends}".rstrip()


def _fill(values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    return {"checksum": checksum(encode(ICMP, {**values, "checksum": 0}) + carried.octets)}


ICMP = LayerKind(
    name="icmp",
    source=rfc(792, "Message Formats"),
    entered_by=(("ip-protocol", 1),),
    table=(
        uint("type", 8, TYPES),
        choose(("type",), _code),
        choose(("type", "code"), _by_type),
    ),
    leads_to=_leads_to,
    says=_says,
    fills=_fill,
)
