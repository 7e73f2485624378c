"""LLC: service access points that are not IP's (IEEE 802.2)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, practice, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import ARP, breaking
from framecheck.judging._tools import at_all

_OTHERS = {0xFF: "old IPX framing", 0x42: "spanning tree", 0xF0: "NetBEUI"}


@rule(
    "llc-obsolete-access-point",
    layer="llc",
    certainty="forbidden",
    source=rfc(1122, "2.3.3"),
    example=breaking(ARP, ((14, 15), (15, 16)), (12, "0024060603"), resum=False),
)
def obsolete_access_point(llc: Layer, view: View) -> Iterator[Breach]:
    """IP over 802.3 goes through SNAP (170): service access point 6 must not be sent."""
    if llc.number("dsap") == 6 and llc.number("ssap") == 6:
        yield at_all((llc["dsap"], llc["ssap"]), 6, 170, "both service access points are 6")


@rule(
    "llc-other-protocol",
    layer="llc",
    certainty="unusual",
    source=practice("numbers of service access points"),
    example=breaking(ARP, ((14, 15), (15, 16)), (12, "0026424203"), resum=False),
)
def other_protocol(llc: Layer, view: View) -> Iterator[Breach]:
    """The frame carries a protocol of the link that a host with IP alone does not know."""
    number = llc.number("dsap")
    if number in _OTHERS and llc.number("ssap") == number:
        says = f"service access points {number:02x}: {_OTHERS[number]}"
        yield at_all((llc["dsap"], llc["ssap"]), number, None, says)
