"""Strings on the wire that an octet ends: read up to it, or to the end where it is lacking."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.layer import Column, Cursor, Field, Got, Group
from framecheck.layers._words import text


def until(cursor: Cursor, name: str, octet: int = 0) -> Field:
    """The octets up to and with ``octet``; not whole when it is lacking."""
    at, stop = cursor.at >> 3, cursor.stop >> 3
    end = cursor.octets.find(octet, at, stop)
    return cursor.raw(name, (stop if end < 0 else end) + 1 - at, text)


def zero_ended(name: str) -> Column:
    """A string with the zero octet that ends it. Written as given, with one zero octet."""

    def read(cursor: Cursor, got: Got) -> tuple[Sequence[Field], Sequence[Group]]:
        return (until(cursor, name),), ()

    def write(values: Mapping[str, Any]) -> tuple[int, int]:
        value = bytes(values.get(name, b"")).rstrip(b"\0") + b"\0"
        return int.from_bytes(value, "big"), len(value) * 8

    return Column(name, read, write)
