"""NTP: the time, from clock to clock (RFC 5905 7.3, from memory)."""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.finding import memory
from framecheck.core.layer import (
    Column,
    Cursor,
    Field,
    Got,
    Group,
    Layer,
    LayerKind,
    choose,
    octets,
    uint,
)
from framecheck.core.quote import quote
from framecheck.layers._words import dotted

_LEAPS = {
    0: "no warning",
    1: "the last minute of the day has 61 seconds",
    2: "the last minute of the day has 59 seconds",
    3: "the clock is not synchronized",
}
_MODES = {
    1: "symmetric active",
    2: "symmetric passive",
    3: "client",
    4: "server",
    5: "broadcast",
    6: "control message",
    7: "private use",
}
_FROM_1900 = 2_208_988_800
"""Seconds from 1900 to 1970."""


def _stratum(value: int) -> str | None:
    if value in (0, 1, 16):
        return {0: "unspecified or invalid", 1: "primary server", 16: "not synchronized"}[value]
    return "secondary server" if value < 16 else "reserved"


def _power(value: int) -> str:
    """Seconds as a power of two, in two's complement."""
    return f"2^{value - 256 if value > 127 else value} seconds"


def _short(value: int) -> str:
    """Seconds in 16 bits, and 16 bits of fraction."""
    return f"{value / 65536:.6f} seconds"


def _stamp(value: int) -> str:
    """Seconds since 1900 in 32 bits, and 32 bits of fraction.

    RFC 4330 3: when the first bit is not set the count has begun anew, in February 2036.
    """
    if not value:
        return "unknown"
    whole, part = value >> 32, value & 0xFFFFFFFF
    whole += 0 if whole >> 31 else 1 << 32
    day = time.strftime("%Y-%m-%d %H:%M:%S", time.gmtime(whole - _FROM_1900))
    return f"{day}.{part * 1_000_000 >> 32:06d} UTC"


def _code(value: bytes) -> str:
    """What a primary server takes its time from, or why it will not answer: four letters."""
    return f'"{quote(value.rstrip(bytes(1)).decode("ascii", "backslashreplace"))}"'


def _reference(stratum: int) -> tuple[Column, ...]:
    return (octets("reference_id", 4, _code if stratum < 2 else dotted, bytes(4)),)


def _read_rest(cursor: Cursor, got: Got) -> tuple[Sequence[Field], Sequence[Group]]:
    """Extension fields, then a key and a digest of 16 or 20 octets (RFC 7822 3)."""
    fields: list[Field] = []
    groups: list[Group] = []
    while cursor.left > 24 * 8:
        head = [cursor.uint("field_type", 16), cursor.uint("length", 16)]
        size = max(0, head[1].number - 4)
        value = [cursor.raw("value", size)] if size else []
        item = (*head, *(f for f in value if f.stop > f.start))
        missing = size - sum(f.stop - f.start for f in value) // 8
        groups.append(Group(head[0].number, "extension_field", item, missing))
        fields.extend(item)
    if cursor.left >= 32:
        fields.append(cursor.uint("key_identifier", 32))
    if cursor.left:
        fields.append(cursor.raw("message_digest", 16 if cursor.left <= 128 else 20))
    return fields, groups


def _write_rest(values: Mapping[str, Any]) -> tuple[int, int]:
    given = bytes(values.get("extensions", b""))
    return int.from_bytes(given, "big"), len(given) * 8


_TIME: tuple[Column, ...] = (
    uint("stratum", 8, _stratum),
    uint("poll", 8, _power),
    uint("precision", 8, _power),
    uint("root_delay", 32, _short),
    uint("root_dispersion", 32, _short),
    choose(("stratum",), _reference),
    uint("reference_timestamp", 64, _stamp),
    uint("origin_timestamp", 64, _stamp),
    uint("receive_timestamp", 64, _stamp),
    uint("transmit_timestamp", 64, _stamp),
    Column("extensions", _read_rest, _write_rest, True),
)
# RFC 9327 2: what a control message has instead. Mode 7 is left to each implementation.
_CONTROL: tuple[Column, ...] = (
    uint("response_bit", 1),
    uint("error_bit", 1),
    uint("more_bit", 1),
    uint("opcode", 5, {1: "read status", 2: "read variables", 3: "write variables"}),
    *(uint(name, 16) for name in ("sequence", "status", "association_id", "offset", "count")),
)


def _by_mode(mode: int) -> tuple[Column, ...]:
    return {6: _CONTROL, 7: ()}.get(mode, _TIME)


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    mode = layer.number("mode")
    if mode is None:
        return None
    if mode == 3:
        return "NTP asks for the time"
    sent = layer.get("transmit_timestamp")
    if mode in (4, 5) and sent is not None and sent.whole and sent.reads:
        verb = "answers" if mode == 4 else "tells everybody"
        return f"NTP {verb}: it is {sent.reads}"
    return f"NTP message, {_MODES.get(mode, 'reserved mode')}"


NTP = LayerKind(
    name="ntp",
    source=memory("RFC 5905", "7.3"),
    entered_by=(("udp-port", 123),),
    table=(
        uint("leap_indicator", 2, _LEAPS),
        uint("version_number", 3, default=4),
        uint("mode", 3, _MODES, default=3),
        choose(("mode",), _by_mode, default=3),
    ),
    says=_says,
)
