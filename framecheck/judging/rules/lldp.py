"""LLDP: which parts a message must have, and in which order (IEEE 802.1AB 8 and 9, from memory)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Group, Layer
from framecheck.core.view import View
from framecheck.judging._examples import breaking, over_ethernet
from framecheck.judging._tools import at, colons, span_of

_END, _CHASSIS, _PORT, _TIME = 0, 1, 2, 3
_MANDATORY = (_CHASSIS, _PORT, _TIME)
_NAMES = {_CHASSIS: "chassis", _PORT: "port", _TIME: "time to live"}
_GROUPS = tuple(bytes.fromhex("0180c20000" + last) for last in ("0e", "03", "00"))
_LENGTHS = {_CHASSIS: (2, 256), _PORT: (2, 256), _TIME: (2, 511), 7: (4, 4), 8: (9, 167)}
_MESSAGE = "020704" + "00005e005301" + "040403" + "657468" + "06020078"
_BASE = over_ethernet(0x88CC, _MESSAGE + "0000", "0180c200000e")


def _units(lldp: Layer) -> tuple[Group, ...]:
    return tuple(g for g in lldp.groups if g.length is not None and g.length.whole)


@rule(
    "lldp-mandatory-order",
    layer="lldp",
    certainty="forbidden",
    source=memory("IEEE 802.1AB", "8.2 and 9.2.7.7"),
    drops="application",
    example=breaking(_BASE, ((14, 23),), (14, "08")),
)
def mandatory_order(lldp: Layer, view: View) -> Iterator[Breach]:
    """A message begins with the chassis, the port and the time to live, in this order.

    A receiver discards any other.
    """
    units = _units(lldp)
    for place, wanted in enumerate(_MANDATORY):
        if place < len(units):
            if units[place].code == wanted:
                continue
            found = f"type {units[place].code}"
            yield Breach((units[place].span,), units[place].code, wanted, _says(place, found))
        elif not view.cut and len(units) == len(lldp.groups):
            yield Breach((span_of(lldp),), None, wanted, _says(place, "nothing"))
        return


def _says(place: int, found: str) -> str:
    wanted = _MANDATORY[place]
    return f"{found} stands where the {_NAMES[wanted]} (type {wanted}) must stand"


@rule(
    "lldp-mandatory-repeated",
    layer="lldp",
    certainty="forbidden",
    source=memory("IEEE 802.1AB", "8.2 and 9.2.7.7"),
    drops="application",
    example=breaking(over_ethernet(0x88CC, _MESSAGE + "060200780000", "0180c200000e"), ((33, 37),)),
)
def mandatory_repeated(lldp: Layer, view: View) -> Iterator[Breach]:
    """Chassis, port and time to live stand in a message once."""
    for unit in _units(lldp)[3:]:
        if unit.code in _MANDATORY:
            says = f"a second {_NAMES[unit.code]} (type {unit.code})"
            yield Breach((unit.span,), unit.code, None, says)


@rule(
    "lldp-unit-length",
    layer="lldp",
    certainty="impossible",
    source=memory("IEEE 802.1AB", "8.4 and 9.2.7.7"),
    drops="application",
    example=breaking(_BASE, ((29, 60),), (30, "1e")),
)
def unit_length(lldp: Layer, view: View) -> Iterator[Breach]:
    """A unit of type, length and value ends within the frame."""
    for unit in lldp.groups if not view.cut else ():
        if not unit.whole:
            length = unit.length
            claims = length.number if length is not None and length.whole else None
            says = f"type {unit.code} claims {claims} octets, {unit.missing} of them are not there"
            yield Breach((unit.span,), claims, None, says)


@rule(
    "lldp-unit-size",
    layer="lldp",
    certainty="forbidden",
    source=memory("IEEE 802.1AB", "8.5"),
    drops="application",
    lenient="receivers that skip the unit",
    example=breaking(_BASE, ((29, 32),), (29, "0601780000")),
)
def unit_size(lldp: Layer, view: View) -> Iterator[Breach]:
    """Each type has its own bounds: chassis and port 2 to 256, time to live 2, the end 0."""
    for unit in _units(lldp):
        least, most = _LENGTHS.get(unit.code, (0, 0 if unit.code == _END else 511))
        length = unit.length.number if unit.length is not None else 0
        if not least <= length <= most and unit.whole:
            says = f"type {unit.code} with {length} octets, {least} to {most} can be"
            yield Breach((unit.span,), length, None, says)


@rule(
    "lldp-end-missing",
    layer="lldp",
    certainty="unusual",
    source=memory("IEEE 802.1AB", "8.5.1"),
    example=breaking(_BASE, ((14, 34),), stop=34),
)
def end_missing(lldp: Layer, view: View) -> Iterator[Breach]:
    """The last unit is the end mark; newer editions of the standard let it be left out."""
    units = _units(lldp)
    if units and units[-1].code != _END and units[-1].whole and not view.cut:
        yield Breach((span_of(lldp),), None, None, "the message ends without an end mark")


@rule(
    "lldp-destination",
    layer="lldp",
    certainty="suspicious",
    source=memory("IEEE 802.1AB", "7.1"),
    drops="mac-address-filter-and-fcs",
    example=breaking(_BASE, ((0, 6),), (0, "0180c2000001")),
)
def destination(lldp: Layer, view: View) -> Iterator[Breach]:
    """A station tells the nearest bridge: 01-80-c2-00-00-0e, 03 or 00.

    What goes to one station is left alone.
    """
    link = view.find("ethernet")
    field = link.get("destination") if link is not None else None
    if field is not None and field.raw[0] & 1 and field.raw not in _GROUPS:
        yield at(field, _GROUPS[0].hex(), f"LLDP goes to {colons(field.raw)}")
