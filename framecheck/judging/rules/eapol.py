"""EAP over LAN: version, type and length (IEEE 802.1X 11.3, from memory)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import breaking, over_ethernet
from framecheck.judging._shapes import too_few
from framecheck.judging._tools import at

_HEADER, _LAST_VERSION, _LAST_TYPE = 4, 3, 8
_START, _LOGOFF = 1, 2
_BASE = over_ethernet(0x888E, "02010000", "0180c2000003")


@rule(
    "eapol-incomplete",
    layer="eapol",
    certainty="impossible",
    source=memory("IEEE 802.1X", "11.3"),
    drops="application",
    example=breaking(_BASE, ((14, 17),), stop=17),
)
def incomplete(eapol: Layer, view: View) -> Iterator[Breach]:
    """The header has 4 octets."""
    yield from too_few(eapol, view, _HEADER, "the header has")


@rule(
    "eapol-length",
    layer="eapol",
    certainty="impossible",
    source=memory("IEEE 802.1X", "11.3.3, 11.4"),
    drops="application",
    example=breaking(_BASE, ((16, 18),), (15, "000100")),
)
def length(eapol: Layer, view: View) -> Iterator[Breach]:
    """The length counts the body behind the header, and that is there."""
    number, left = eapol.number("packet_body_length"), eapol.room - _HEADER
    if number is not None and number > left and not view.cut:
        yield at(eapol["packet_body_length"], left, f"the length is {number}, {left} octets follow")


@rule(
    "eapol-version",
    layer="eapol",
    certainty="suspicious",
    source=memory("IEEE 802.1X", "11.3.1, 11.5"),
    lenient="all hosts: they take a later version for their own",
    example=breaking(_BASE, ((14, 15),), (14, "20")),
)
def version(eapol: Layer, view: View) -> Iterator[Breach]:
    """The version is 1, 2 or 3."""
    number = eapol.number("protocol_version")
    if number is not None and not 1 <= number <= _LAST_VERSION:
        yield at(eapol["protocol_version"], None, f"the version is {number}")


@rule(
    "eapol-type-unknown",
    layer="eapol",
    certainty="suspicious",
    source=memory("IEEE 802.1X", "11.3.2"),
    drops="application",
    example=breaking(_BASE, ((15, 16),), (15, "40")),
)
def type_unknown(eapol: Layer, view: View) -> Iterator[Breach]:
    """The type is one that the standard names."""
    number = eapol.number("packet_type")
    if number is not None and number > _LAST_TYPE:
        yield at(eapol["packet_type"], None, f"type {number} is named by no standard")
