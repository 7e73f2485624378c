"""TCP: the header and its options (RFC 9293 3.1)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.finding import rfc
from framecheck.core.layer import Carried, Got, Layer, LayerKind, Next, encode, uint
from framecheck.core.series import options
from framecheck.layers._ports import between, transport_sum, words
from framecheck.layers._words import count
from framecheck.layers.assigned.tcp_options import OPTIONS

_SHORTEST = 20


def _options(got: Got) -> int:
    offset = got.get("data_offset")
    return max(0, offset.number * 4 - _SHORTEST) if offset is not None and offset.whole else 0


def _leads_to(layer: Layer) -> Next | None:
    return Next("tcp-port", (), layer.limit, layer.quoted)


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    flags = [layer.number(n) for n in ("syn", "ack", "fin", "rst")]
    if None in flags:
        return None
    syn, ack, fin, rst = flags
    data = (layer.limit - layer.stop) // 8
    if rst:
        verb = "breaks off"
    elif syn and fin:
        verb = "opens and closes at once"
    elif syn:
        verb = "accepts" if ack else "opens"
    elif fin:
        verb = "closes"
    elif data:
        verb = f"carries {count(data, 'octet')}"
    elif ack:
        verb = f"acknowledges up to {layer.number('acknowledgment_number')}"
    else:
        verb = "says nothing"
    return f"TCP {verb}, {between(layer, layers)}"


def _fill(values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    header = len(encode(TCP, values))
    found: dict[str, Any] = {"data_offset": -(-header // 4)}
    zeroed = encode(TCP, {**found, **values, "checksum": 0})
    found["checksum"] = transport_sum(carried.below, 6, zeroed + carried.octets)
    return found


TCP = LayerKind(
    name="tcp",
    source=rfc(9293, "3.1"),
    entered_by=(("ip-protocol", 6), ("next-header", 6)),
    table=(
        uint("source_port", 16, words("tcp")),
        uint("destination_port", 16, words("tcp")),
        uint("sequence_number", 32),
        uint("acknowledgment_number", 32),
        uint("data_offset", 4, default=5),
        uint("reserved", 4),
        *(uint(flag, 1) for flag in ("cwr", "ece", "urg", "ack", "psh", "rst", "syn", "fin")),
        uint("window", 16),
        uint("checksum", 16),
        uint("urgent_pointer", 16),
        options("option", _options, OPTIONS, length_counts_all=True, single=(0, 1)),
    ),
    leads_to=_leads_to,
    says=_says,
    fills=_fill,
)
