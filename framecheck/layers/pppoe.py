"""PPP over Ethernet: finding a concentrator, then a session with it (RFC 2516, from memory)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.finding import memory
from framecheck.core.layer import Carried, Column, Layer, LayerKind, Next, choose, encode, uint
from framecheck.core.series import Option, options
from framecheck.layers._words import text

_HEADER = 6
_SESSION = 0
_CODES = {
    0x00: "session data",
    0x07: "offer",
    0x09: "initiation",
    0x19: "request",
    0x65: "session confirmation",
    0xA7: "terminate",
}
_TAGS = {
    0x0000: Option("end_of_list"),
    0x0101: Option("service_name", text),
    0x0102: Option("ac_name", text),
    0x0103: Option("host_uniq"),
    0x0104: Option("ac_cookie"),
    0x0105: Option("vendor_specific"),
    0x0110: Option("relay_session_id"),
    0x0120: Option("ppp_max_payload", number=2),  # RFC 4638
    0x0201: Option("service_name_error", text),
    0x0202: Option("ac_system_error", text),
    0x0203: Option("generic_error", text),
}
_SERIES = options(
    "tag",
    "length",
    _TAGS,
    length_counts_all=False,
    single=(),
    code_bits=16,
    length_bits=16,
)


def _by_code(code: int) -> tuple[Column, ...]:
    return () if code == _SESSION else (_SERIES,)


def _leads_to(layer: Layer) -> Next | None:
    length = layer.number("length")
    if length is None:
        return None
    stop = min(layer.start + (_HEADER + length) * 8, layer.limit)
    session = layer.number("code") == _SESSION
    return Next("pppoe-code", (_SESSION,) if session else (), max(stop, layer.stop))


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    code = layer.number("code")
    if code is None:
        return None
    if code == _SESSION:
        return f"PPPoE data of session {layer.number('session_id') or 0}"
    name = layer.get("ac_name") or layer.get("service_name")
    of = f", {name.reads}" if name is not None and name.raw else ""
    return f"PPPoE discovery: {_CODES.get(code, f'code {code:#04x}')}{of}"


def _fill(values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    return {"length": len(encode(PPPOE, values)) - _HEADER + len(carried.octets)}


PPPOE = LayerKind(
    name="pppoe",
    source=memory("RFC 2516", "4"),
    entered_by=(("ethertype", 0x8864), ("ethertype", 0x8863)),
    table=(
        uint("version", 4, default=1),
        uint("type", 4, default=1),
        uint("code", 8, _CODES),
        uint("session_id", 16),
        uint("length", 16),
        choose(("code",), _by_code),
    ),
    leads_to=_leads_to,
    says=_says,
    fills=_fill,
)
