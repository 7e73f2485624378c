"""What IPv6 and its extension headers share: the number of the next header (RFC 8200 4)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.layer import Carried, Column, Got, Layer, LayerKind, Next, encode, uint
from framecheck.core.series import options
from framecheck.layers.assigned.ip_protocols import PROTOCOLS
from framecheck.layers.assigned.ipv6_options import OPTIONS

NO_NEXT_HEADER = 59
NEXT_HEADER = uint("next_header", 8, PROTOCOLS, default=NO_NEXT_HEADER)


def size(got: Got) -> int:
    """Octets of an extension header behind its first two: its length counts eights, less one."""
    f = got.get("hdr_ext_len")
    return f.number * 8 + 6 if f is not None and f.whole else 0


EXTENSION = (NEXT_HEADER, uint("hdr_ext_len", 8))

OPTIONS_TABLE: tuple[Column, ...] = (
    *EXTENSION,
    options("option", size, OPTIONS, length_counts_all=False, ends=()),
)


def follows(layer: Layer) -> Next | None:
    """The header that the number names, to the end that the layer below gives."""
    number = layer.number("next_header")
    if number is None:
        return None
    return Next("next-header", (number,), layer.limit, layer.quoted)


def fill(kind: LayerKind, values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    """The number of what is carried, and the header's own length."""
    return {
        "next_header": carried.entered_by.get("next-header", NO_NEXT_HEADER),
        "hdr_ext_len": max(0, len(encode(kind, values)) // 8 - 1),
    }


def says(name: str, layers: Sequence[Layer]) -> str | None:
    """An extension header that nothing known follows, with the ends of its datagram."""
    ip = next((x for x in reversed(layers) if x.kind == "ipv6" and not x.quoted), None)
    if ip is None or not ip.whole("source_address", "destination_address"):
        return None
    ends = f"from {ip['source_address'].reads} to {ip['destination_address'].reads}"
    return f"IPv6 with {name} {ends}"
