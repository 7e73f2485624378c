"""What Ethernet and a VLAN tag share: two octets that are a type or a length."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._tools import at

_FIRST_TYPE = 1536


def undefined_type(layer: Layer) -> Iterator[Breach]:
    """The breach that a number between lengths and types is."""
    number = layer.number("type")
    if number is not None and number < _FIRST_TYPE:
        says = f"{number:04x} ({number}) is neither a length (up to 1500) nor a type (from 1536)"
        yield at(layer["type"], None, says)


def length_beyond(layer: Layer, view: View) -> Iterator[Breach]:
    """The breach that a length is which claims more octets than follow."""
    length, there = layer.number("length"), len(view.octets) - layer.stop // 8
    if length is not None and length > there and not view.cut:
        yield at(layer["length"], there, f"the length is {length}, {there} octets follow")
