"""MAC control: opcode and destination (IEEE 802.3 31 and annex 31B, from memory)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import breaking, over_ethernet
from framecheck.judging._tools import at, colons, many, span_of

_PAUSE, _BY_PRIORITY = 0x0001, 0x0101
_LEAST = {_PAUSE: 4, _BY_PRIORITY: 20}
_KNOWN = frozenset((_PAUSE, 2, 3, 4, 5, 6, _BY_PRIORITY, 0xFFFE))
"""Pause, the gate and report of passive optical networks, pause by priority, extensions."""
_GROUP = bytes.fromhex("0180c2000001")
_BASE = over_ethernet(0x8808, "0001ffff", "0180c2000001")


@rule(
    "mac-control-incomplete",
    layer="mac-control",
    certainty="impossible",
    source=memory("IEEE 802.3", "31.4, annex 31B, annex 31D"),
    drops="application",
    example=breaking(_BASE, ((14, 17),), stop=17),
)
def incomplete(control: Layer, view: View) -> Iterator[Breach]:
    """An opcode has 2 octets, a pause 2 more, one by priority 18 more."""
    least = _LEAST.get(control.number("opcode") or 0, 2)
    if control.room < least and not view.cut:
        says = f"{many(control.room)}, an opcode and its parameters have {least}"
        yield Breach((span_of(control),), control.room, least, says)


@rule(
    "mac-control-opcode-unknown",
    layer="mac-control",
    certainty="suspicious",
    source=memory("IEEE 802.3", "annex 31A"),
    drops="application",
    example=breaking(_BASE, ((14, 16),), (14, "0100")),
)
def opcode_unknown(control: Layer, view: View) -> Iterator[Breach]:
    """The opcode is one that the standard names. 0100 is pause with its octets exchanged."""
    number = control.number("opcode")
    if number is not None and number not in _KNOWN:
        swapped = _PAUSE if number == 0x0100 else None
        yield at(control["opcode"], swapped, f"opcode {number:04x} is named by no standard")


@rule(
    "mac-control-destination",
    layer="mac-control",
    certainty="suspicious",
    source=memory("IEEE 802.3", "annex 31B.1"),
    drops="mac-address-filter-and-fcs",
    example=breaking(_BASE, ((0, 6),), (0, "0180c200000e")),
)
def destination(control: Layer, view: View) -> Iterator[Breach]:
    """A pause goes to 01-80-c2-00-00-01, which no bridge passes on, or to the one station."""
    link = view.find("ethernet")
    field = link.get("destination") if link is not None else None
    if field is None or control.number("opcode") not in _LEAST:
        return
    if field.raw[0] & 1 and field.raw != _GROUP:
        yield at(field, _GROUP.hex(), f"a pause goes to {colons(field.raw)}")
