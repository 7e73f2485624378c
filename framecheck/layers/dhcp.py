"""DHCP: addresses and settings for a host (RFC 2131 2), with the options of RFC 2132.

BOOTP (RFC 951) is the same message without options.
Under option 52 ``sname`` and ``file`` hold options too (RFC 2132 9.3) and are read as such.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from framecheck.core.finding import rfc
from framecheck.core.layer import (
    Column,
    Cursor,
    Field,
    Got,
    Group,
    Layer,
    LayerKind,
    octets,
    read_table,
    uint,
    write_table,
)
from framecheck.core.series import options
from framecheck.layers._words import dotted, mac, seconds, zero_ended
from framecheck.layers.assigned.arp import HARDWARE_TYPES
from framecheck.layers.assigned.dhcp_options import OPTIONS

_COOKIE = bytes((99, 130, 83, 99))
_FIRST_OPTION = 240
_OVERLOAD = 52


def _cookie(value: bytes) -> str | None:
    return "DHCP options follow" if value == _COOKIE else None


def _hardware(value: bytes) -> str:
    """A hardware address in 16 octets: six where the rest is zero, else all of them."""
    return mac(value if any(value[6:]) else value[:6])


def _flags(value: int) -> str:
    return "answer by broadcast" if value & 0x8000 else "answer by unicast"


def _overload(cursor: Cursor) -> int:
    """What option 52 says, looked up ahead of the fields that it changes; 0 without one."""
    data, at = cursor.octets, (cursor.origin >> 3) + _FIRST_OPTION
    stop = cursor.stop >> 3
    if data.find(_OVERLOAD, at, stop) < 0:
        return 0  # hardly any message has one, and none without such an octet
    while at + 2 < stop and data[at] != 255:
        if data[at] == _OVERLOAD:
            return data[at + 2] if data[at + 1] == 1 else 0
        at += 1 if data[at] == 0 else 2 + data[at + 1]
    return 0


def _series(count: int | None) -> Column:
    return options(
        "option",
        count,
        OPTIONS,
        length_counts_all=False,
        single=(0, 255),
        ends=(255,),
        runs=(0,),
    )


def _text_or_options(name: str, size: int, bit: int) -> Column:
    plain, series = octets(name, size, zero_ended), _series(size)

    def read(cursor: Cursor, got: Got) -> tuple[Sequence[Field], Sequence[Group]]:
        return (series if _overload(cursor) & bit else plain).read(cursor, got)

    return Column(name, read, plain.write, True)


_VEND = (octets("vend", 64),)
_OPTIONS = (octets("magic_cookie", 4, _cookie, _COOKIE), _series(None))


def _vendor(cursor: Cursor, got: Got) -> Sequence[Column]:
    """The cookie and options; BOOTP without any leaves its 64 octets at zero (RFC 951 3)."""
    return _OPTIONS if any(cursor.octets[cursor.at >> 3 : cursor.stop >> 3]) else _VEND


def _read_vendor(cursor: Cursor, got: Got) -> tuple[Sequence[Field], Sequence[Group]]:
    return read_table(cursor, _vendor(cursor, got), got)


def _write_vendor(values: Mapping[str, Any]) -> tuple[int, int]:
    return write_table(_VEND if "vend" in values else _OPTIONS, values)


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    client = _who(layer)
    group = layer.group(53)
    kind = group.value.value if group is not None and group.value is not None else None
    says = _SAYS.get(kind) if isinstance(kind, int) else None
    if says is not None:
        return f"DHCP {says(layer, client)}"
    if group is not None and group.value is not None and group.value.reads:
        return f"DHCP message {group.value.reads}, client {client}"
    op = layer.number("op")
    if op is None:
        return None
    return f"BOOTP {layer['op'].reads or f'message with op {op}'}, client {client}"


def _who(layer: Layer) -> str:
    chaddr = layer.get("chaddr")
    return chaddr.reads or "" if chaddr is not None and chaddr.whole else "a client cut off"


def _address(layer: Layer, *names: str) -> str | None:
    """The first of these addresses that is there and not zero."""
    for name in names:
        if layer.number(name):
            return layer[name].reads
    return None


def _offers(layer: Layer, client: str) -> str:
    return f"offers {_address(layer, 'yiaddr') or 'no address'} to {client}"


def _grants(layer: Layer, client: str) -> str:
    given = _address(layer, "yiaddr")
    return f"grants {given} to {client}" if given else f"answers {client} with settings"


def _asks(layer: Layer, client: str) -> str:
    wanted = _address(layer, "requested_ip_address", "ciaddr")
    return f"asks for {wanted or 'no address'}, for {client}"


def _looks(layer: Layer, client: str) -> str:
    wanted = _address(layer, "requested_ip_address")
    return f"looks for a server, for {client}" + (f", would like {wanted}" if wanted else "")


def _declines(layer: Layer, client: str) -> str:
    return f"declines {_address(layer, 'requested_ip_address') or 'an address'}, for {client}"


def _gives_back(layer: Layer, client: str) -> str:
    return f"gives back {_address(layer, 'ciaddr') or 'an address'}, from {client}"


def _asks_settings(layer: Layer, client: str) -> str:
    return f"asks for settings, for {_address(layer, 'ciaddr') or client}"


def _refuses(layer: Layer, client: str) -> str:
    return f"refuses {client}"


_SAYS: Mapping[int, Callable[[Layer, str], str]] = {
    1: _looks,
    2: _offers,
    3: _asks,
    4: _declines,
    5: _grants,
    6: _refuses,
    7: _gives_back,
    8: _asks_settings,
}


DHCP = LayerKind(
    name="dhcp",
    source=rfc(2131, "2"),
    entered_by=(("udp-port", 67), ("udp-port", 68)),
    table=(
        uint("op", 8, {1: "request", 2: "reply"}, default=1),
        uint("htype", 8, HARDWARE_TYPES, default=1),
        uint("hlen", 8, default=6),
        uint("hops", 8),
        uint("xid", 32),
        uint("secs", 16, seconds),
        uint("flags", 16, _flags),
        octets("ciaddr", 4, dotted, bytes(4)),
        octets("yiaddr", 4, dotted, bytes(4)),
        octets("siaddr", 4, dotted, bytes(4)),
        octets("giaddr", 4, dotted, bytes(4)),
        octets("chaddr", 16, _hardware, bytes(16)),
        _text_or_options("sname", 64, 2),
        _text_or_options("file", 128, 1),
        Column("", _read_vendor, _write_vendor, False, _vendor),
    ),
    says=_says,
)
