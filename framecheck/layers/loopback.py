"""Configuration testing: a frame that asks to be sent on (Ethernet 2.0 chapter 8, from memory).

The numbers of this protocol alone have their least significant octet first.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.finding import memory
from framecheck.core.layer import Column, Cursor, Field, Got, Group, Layer, LayerKind, octets
from framecheck.layers._words import mac

_REPLY, _FORWARD = b"\x01\x00", b"\x02\x00"
_FUNCTIONS = {_REPLY: "reply", _FORWARD: "forward data"}


def _number(value: bytes) -> str:
    return str(int.from_bytes(value, "little"))


def _read(cursor: Cursor, got: Got) -> tuple[Sequence[Field], Sequence[Group]]:
    """Stations that pass the frame on, one behind the other, then the number of a reply."""
    fields: list[Field] = []
    while cursor.left:
        at = cursor.at >> 3
        function = cursor.octets[at : min(at + 2, cursor.stop >> 3)]
        if len(function) == 2 and function not in _FUNCTIONS:
            break
        fields.append(cursor.raw("function", 2, _FUNCTIONS.get))
        if function != _FORWARD:
            if function == _REPLY:
                fields.append(cursor.raw("receipt_number", 2, _number))
            break
        fields.append(cursor.raw("forward_address", 6, mac))
    return fields, ()


def _write(values: Mapping[str, Any]) -> tuple[int, int]:
    given = bytes(values.get("messages", b""))
    return int.from_bytes(given, "big"), len(given) * 8


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    receipt = layer.get("receipt_number")
    if receipt is not None and receipt.whole:
        return f"loopback test {receipt.reads}"
    return "loopback test"


LOOPBACK = LayerKind(
    name="loopback",
    source=memory("Ethernet 2.0", "8"),
    entered_by=(("ethertype", 0x9000),),
    # Written from "messages": the octets of all functions.
    table=(
        octets("skip_count", 2, _number, bytes(2)),
        Column("messages", _read, _write, True),
    ),
    says=_says,
)
