"""The two octets behind the addresses of a frame, or behind a tag: a type or a length.

IEEE 802.3 3.2.6 (from memory), RFC 1122 2.3.3: up to 1500 it is a length, from 1536 a type;
between them it is neither, and kept as a type.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.layer import Carried, Column, Cursor, Field, Got, Group, Layer, Next

LONGEST = 1500
"""Largest number that is a length."""


def words(number: int) -> str | None:
    """The name of a type."""
    from framecheck.layers.assigned.ethertypes import ETHERTYPES

    return ETHERTYPES.get(number)


def _read(cursor: Cursor, got: Got) -> tuple[Sequence[Field], Sequence[Group]]:
    f = cursor.uint("type", 16, words)
    if isinstance(f.value, int) and f.value <= LONGEST:
        f = f._replace(name="length", words=None)
    return (f,), ()


def _write(values: Mapping[str, Any]) -> tuple[int, int]:
    return int(values.get("type", values.get("length", 0))) & 0xFFFF, 16


TYPE_OR_LENGTH = Column("type", _read, _write)
"""The column: a field named ``type`` or ``length``."""


def follows(layer: Layer) -> Next | None:
    """What a type leads to, or a length: LLC, up to that many octets (clipped to the frame)."""
    kind = layer.number("type")
    if kind is not None:
        return Next("ethertype", (kind,), layer.limit)
    length = layer.number("length")
    if length is None:
        return None
    return Next("length", (0,), min(layer.limit, layer.stop + length * 8))


def fill(values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    """The number of what is carried; its length when it is entered by one."""
    if "ethertype" in carried.entered_by:
        return {"type": carried.entered_by["ethertype"]}
    return {"length": len(carried.octets)}
