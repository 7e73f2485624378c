"""RARP: its length, its two types, its operation (RFC 903, from memory)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import breaking, over_ethernet
from framecheck.judging._shapes import too_few
from framecheck.judging._tools import at

_PACKET = 28
_FIXED = {"hardware_type": 1, "protocol_type": 0x0800, "hardware_length": 6, "protocol_length": 4}
_WHO = "00005e005301"
_BASE = over_ethernet(
    0x8035, "0001080006040003" + _WHO + "00000000" + _WHO + "00000000", "ffffffffffff"
)


@rule(
    "rarp-incomplete",
    layer="rarp",
    certainty="impossible",
    source=memory("RFC 903", "1"),
    drops="application",
    example=breaking(_BASE, ((14, 40),), stop=40),
)
def incomplete(rarp: Layer, view: View) -> Iterator[Breach]:
    """A RARP packet for Ethernet and IPv4 has 28 octets."""
    yield from too_few(rarp, view, _PACKET, "a RARP packet has")


@rule(
    "rarp-types-and-lengths",
    layer="rarp",
    certainty="suspicious",
    source=memory("RFC 903", "1"),
    drops="application",
    example=breaking(_BASE, ((18, 19),), (18, "07")),
)
def types_and_lengths(rarp: Layer, view: View) -> Iterator[Breach]:
    """On Ethernet, for IPv4: hardware type 1 with 6 octets, protocol type 0800 with 4."""
    for name, wanted in _FIXED.items():
        number = rarp.number(name)
        if number is not None and number != wanted:
            yield at(rarp[name], wanted, f"the {name.replace('_', ' ')} is {number}, not {wanted}")


@rule(
    "rarp-operation",
    layer="rarp",
    certainty="forbidden",
    source=memory("RFC 903", "1"),
    drops="application",
    example=breaking(_BASE, ((20, 22),), (20, "0300")),
)
def operation(rarp: Layer, view: View) -> Iterator[Breach]:
    """3 asks, 4 answers."""
    number = rarp.number("operation")
    if number is not None and number not in (3, 4):
        swapped = number >> 8 if number in (0x0300, 0x0400) else None
        yield at(rarp["operation"], swapped, f"the operation is {number:04x}, neither 3 nor 4")
