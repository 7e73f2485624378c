"""Spanning tree: what bridges tell each other (IEEE 802.1D 9.3, from memory)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import breaking, over_ethernet
from framecheck.judging._shapes import too_few
from framecheck.judging._tools import at, at_all, colons

_CONFIGURATION, _RAPID, _CHANGE = 0x00, 0x02, 0x80
_LEAST = {_CONFIGURATION: 35, _RAPID: 36, _CHANGE: 4}
_GROUPS = tuple(bytes.fromhex("0180c20000" + last) for last in ("00", "08"))
_BRIDGE = "8000" + "00005e005301"
_BASE = over_ethernet(
    38,
    "424203" + "00000000" + "00" + _BRIDGE + "00000000" + _BRIDGE + "80010000140002000f00",
    "0180c2000000",
)


@rule(
    "stp-incomplete",
    layer="stp",
    certainty="impossible",
    source=memory("IEEE 802.1D", "9.3.4"),
    drops="application",
    example=breaking(_BASE, ((17, 37),), (12, "0017"), (37, "00" * 23)),
)
def incomplete(stp: Layer, view: View) -> Iterator[Breach]:
    """A configuration has 35 octets, a rapid one 36, a change of topology 4."""
    least = _LEAST.get(stp.number("bpdu_type") or 0, 4)
    yield from too_few(stp, view, least, "a message of its type has")


@rule(
    "stp-protocol-identifier",
    layer="stp",
    certainty="forbidden",
    source=memory("IEEE 802.1D", "9.3.4"),
    drops="application",
    example=breaking(_BASE, ((17, 19),), (17, "0001")),
)
def protocol_identifier(stp: Layer, view: View) -> Iterator[Breach]:
    """The protocol identifier is 0."""
    number = stp.number("protocol_identifier")
    if number:
        yield at(stp["protocol_identifier"], 0, f"the protocol identifier is {number}")


@rule(
    "stp-type-unknown",
    layer="stp",
    certainty="suspicious",
    source=memory("IEEE 802.1D", "9.3.4"),
    drops="application",
    example=breaking(_BASE, ((20, 21),), (20, "05")),
)
def type_unknown(stp: Layer, view: View) -> Iterator[Breach]:
    """A message is a configuration (00), a rapid one (02) or a change of topology (80)."""
    number = stp.number("bpdu_type")
    if number is not None and number not in _LEAST:
        yield at(stp["bpdu_type"], None, f"message type {number:02x} is named by no standard")


@rule(
    "stp-version-and-type",
    layer="stp",
    certainty="forbidden",
    source=memory("IEEE 802.1D", "9.3.3, 9.3.4"),
    drops="application",
    example=breaking(_BASE, ((19, 20), (20, 21)), (12, "0027"), (20, "02")),
)
def version_and_type(stp: Layer, view: View) -> Iterator[Breach]:
    """Rapid messages have version 2 or more."""
    version, kind = stp.number("protocol_version_identifier"), stp.number("bpdu_type")
    if kind == _RAPID and version is not None and version < 2:
        fields = (stp["protocol_version_identifier"], stp["bpdu_type"])
        yield at_all(fields, version, 2, f"a rapid message with version {version}")


@rule(
    "stp-message-age",
    layer="stp",
    certainty="forbidden",
    source=memory("IEEE 802.1D", "9.3.4"),
    drops="application",
    example=breaking(_BASE, ((44, 48),), (44, "1400")),
)
def message_age(stp: Layer, view: View) -> Iterator[Breach]:
    """What is as old as it may become is no longer passed on: the age is below the maximum."""
    age, most = stp.number("message_age"), stp.number("max_age")
    if age is not None and most and age >= most:
        span = stp["message_age"].span._replace(stop=stp["max_age"].stop)
        yield Breach((span,), age, None, f"the age is {age / 256:g} s, the most {most / 256:g} s")


@rule(
    "stp-destination",
    layer="stp",
    certainty="suspicious",
    source=memory("IEEE 802.1D", "7.12.3"),
    drops="mac-address-filter-and-fcs",
    example=breaking(_BASE, ((0, 6),), (0, "0180c2000001")),
)
def destination(stp: Layer, view: View) -> Iterator[Breach]:
    """Bridges talk to 01-80-c2-00-00-00, those of a provider to 01-80-c2-00-00-08."""
    link = view.find("ethernet")
    field = link.get("destination") if link is not None else None
    if field is not None and field.whole and field.raw not in _GROUPS:
        yield at(field, _GROUPS[0].hex(), f"a bridge's message goes to {colons(field.raw)}")
