"""What each octet of a frame is to a redaction: an address, a label, text, or not private.

A field says it by how it reads (``words``): the same function that prints an address names it
here. Octets that nothing names are text: hidden by default. Numbers stay, they are what verdicts
rest on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import NamedTuple

from framecheck.core.layer import Field, Layer
from framecheck.layers import _words
from framecheck.layers._names import listed, reads
from framecheck.layers.assigned import dhcp_options, dhcpv6, lldp


class Part(NamedTuple):
    """Octets of one role."""

    start: int
    stop: int
    role: str
    """``mac``, ``ipv4``, ``ipv6``, ``name`` (labels), ``text``, ``padding``, and parts of them."""


_STAY = frozenset(
    (
        *(("dhcp", n) for n in ("magic_cookie", "parameter_request_list", "pad")),
        *(("dhcp", n) for n in ("path_mtu_plateau_table", "client_system_architecture")),
        *(("dhcpv6", n) for n in ("option_request", "client_architecture_type")),
        ("snap", "organization_code"),
        ("lldp", "organizationally_unique_identifier"),
        *(("syslog", n) for n in ("pri", "sp", "timestamp")),
        *(("tftp", n) for n in ("mode", "option", "value")),
        ("ipv6-destination-options", "padn"),
    )
)
"""Octets that are numbers of the protocol, or words of a standard."""
Split = Callable[[bytes, int], Iterator[Part]]


def parts(layers: Sequence[Layer], data: bytes) -> Iterator[Part]:
    """The parts of a frame that a redaction changes; the octets between them stay."""
    for layer in layers:
        for field in layer.fields:
            if isinstance(field.value, bytes) and not field.start % 8:
                yield from _of_field(layer, field, data)
            elif field.name == "iaid" and field.whole:
                yield Part(field.start // 8, field.stop // 8, "tail")


def _of_field(layer: Layer, field: Field, data: bytes) -> Iterator[Part]:
    start, stop = field.span.octets
    value = data[start:stop]
    if layer.kind == "padding" or field.name == "padding":
        yield Part(start, stop, "padding")
    elif (layer.kind, field.name) in _STAY or (
        (layer.kind, field.name) == ("ntp", "reference_id") and (field.words is not _words.dotted)
    ):
        return
    elif field.name in ("route_data", "timestamp_data"):
        yield from _every(value, start, 4, "ipv4")
    elif field.name == "unparsed" or (layer.kind, field.name) == ("dns", "rdata"):
        if layer.kind == "dns":
            yield Part(start, stop, "names")
        else:  # a code, and the length that cannot be
            yield Part(min(start + 2, stop), stop, "text")
    elif isinstance(field.words, partial) and field.words.func is reads:
        yield Part(start, stop, "name")
    elif field.name in _BY_NAME:
        yield from _BY_NAME[field.name](value, start)
    elif field.words in _SPLITS:
        yield from _SPLITS[field.words](value, start)
    else:
        yield Part(start, stop, "text")


def _one(role: str, size: int) -> Split:
    def split(value: bytes, start: int) -> Iterator[Part]:
        whole = len(value) == size
        yield Part(start, start + len(value), role if whole else "text")

    return split


def _list(role: str, size: int) -> Split:
    return lambda value, start: _every(value, start, size, role)


def _every(value: bytes, start: int, size: int, role: str) -> Iterator[Part]:
    whole = len(value) // size * size
    for at in range(0, whole, size):
        yield Part(start + at, start + at + size, role)
    if whole < len(value):
        yield Part(start + whole, start + len(value), "text")


def _address(value: bytes, start: int) -> Iterator[Part]:
    role = {4: "ipv4", 6: "mac", 16: "ipv6"}.get(len(value), "text")
    yield Part(start, start + len(value), role)


def _filters(value: bytes, start: int) -> Iterator[Part]:
    for at in range(0, len(value) // 8 * 8, 8):
        yield Part(start + at, start + at + 4, "ipv4")
    yield Part(start + len(value) // 8 * 8, start + len(value), "text")


def _hardware(value: bytes, start: int) -> Iterator[Part]:
    yield Part(start, start + min(6, len(value)), "mac" if len(value) >= 6 else "text")
    yield Part(start + 6, start + max(6, len(value)), "text")


def _identifier(value: bytes, start: int) -> Iterator[Part]:
    hardware = len(value) == 7 and value[0] == 1
    yield Part(start + 1, start + len(value), "mac" if hardware else "text")


def _duid(value: bytes, start: int) -> Iterator[Part]:
    at = {1: 8, 3: 4}.get(int.from_bytes(value[:2], "big"), 2)
    whole = at > 2 and len(value) - at == 6
    yield Part(start + at, start + max(at, len(value)), "mac" if whole else "text")


def _behind_lengths(head: int) -> Split:
    """Pieces behind a length; ``head``: octets of a code in front of each length."""

    def split(value: bytes, start: int) -> Iterator[Part]:
        at = 0
        while at + head < len(value):
            size = value[at + head]
            at += head + 1
            yield Part(start + at, start + min(at + size, len(value)), "text")
            at += size

    return split


_strings = _behind_lengths(0)


def _routes(value: bytes, start: int) -> Iterator[Part]:
    at = 0
    while at < len(value) and value[at] <= 32:
        behind = at + 1 + (value[at] + 7) // 8
        if behind + 4 > len(value):
            break
        yield Part(start + at + 1, start + behind, "front")
        yield Part(start + behind, start + behind + 4, "ipv4")
        at = behind + 4
    if at < len(value):  # a width that cannot be, and what stands behind it
        yield Part(start + at + 1, start + len(value), "text")


def _network_address(value: bytes, start: int) -> Iterator[Part]:
    yield from _address(value[1:], start + 1)


def _prefix(value: bytes, start: int) -> Iterator[Part]:
    yield Part(start, start + len(value), "ipv6" if len(value) == 16 else "front6")


def _names(value: bytes, start: int) -> Iterator[Part]:
    yield Part(start, start + len(value), "name")


_SPLITS: dict[object, Split] = {
    _words.mac: _one("mac", 6),
    _words.dotted: _one("ipv4", 4),
    _words.colons: _one("ipv6", 16),
    _words.address: _address,
    _words.addresses: _list("ipv4", 4),
    _words.host_routes: _list("ipv4", 4),
    _words.ipv6_addresses: _list("ipv6", 16),
    _words.filters: _filters,
    dhcp_options.identifier: _identifier,
    dhcp_options.routes: _routes,
    dhcp_options.sub_options: _behind_lengths(1),
    dhcpv6.duid: _duid,
    lldp.network_address: _network_address,
    listed: _names,
}

_BY_NAME: dict[str, Split] = {"chaddr": _hardware, "prefix": _prefix, "txt_data": _strings}
