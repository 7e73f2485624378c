"""Multicast listener discovery: who listens to which group (RFC 2710, RFC 3810; from memory)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import (
    ALL_NODES,
    ALL_ROUTERS,
    GROUP,
    LISTENER_QUERY,
    LISTENER_REPORT,
    LISTENER_REPORT_2,
    TWO,
    breaking,
    listener,
    over_ipv6,
)
from framecheck.judging._groups import unfilled, unknown_records
from framecheck.judging._icmpv6 import DONE, QUERY, REPORT, REPORT_2, ends, is_link_local
from framecheck.judging._measure import carrier, extensions
from framecheck.judging._tools import address, at, printed, span_of

_MESSAGES = frozenset((QUERY, REPORT, DONE, REPORT_2))
_ROUTER_ALERT = 5
_ALL_REPORTS = bytes.fromhex("ff02" + "00" * 13 + "16")
_GLOBAL = "20010db8" + "00" * 11 + "01"


def _is_about_listeners(icmpv6: Layer) -> bool:
    return icmpv6.number("type") in _MESSAGES


@rule(
    "icmpv6-listener-hop-limit",
    layer="icmpv6",
    certainty="forbidden",
    source=memory("RFC 3810", "5"),
    drops="application",
    example=breaking(LISTENER_QUERY, ((21, 22),), (21, "40")),
)
def hop_limit(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """Messages about listeners stay on their link: the hop limit is 1."""
    ip = carrier(icmpv6, view)
    number = ip.number("hop_limit") if ip is not None else None
    if ip is not None and number is not None and number != 1 and _is_about_listeners(icmpv6):
        yield at(ip["hop_limit"], 1, f"the hop limit is {number}, not 1")


@rule(
    "icmpv6-listener-router-alert",
    layer="icmpv6",
    certainty="forbidden",
    source=memory("RFC 3810", "5"),
    drops="application",
    lenient="hosts that do not look for the option",
    example=breaking(over_ipv6(LISTENER_REPORT[62:].hex(), 58, 1, target=GROUP), ((54, 78),)),
)
def router_alert(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """Messages about listeners carry the router alert option with value 0.

    Routers must see also what is for groups to which they do not listen.
    """
    ip = carrier(icmpv6, view)
    if ip is None or not _is_about_listeners(icmpv6):
        return
    alerts = (
        option.data
        for header in extensions(ip, view)
        if header.kind == "ipv6-hop-by-hop"
        for option in header.groups
        if option.code == _ROUTER_ALERT
    )
    if bytes(2) not in alerts:
        yield Breach((span_of(icmpv6),), None, None, "the router alert option is not there")


@rule(
    "icmpv6-listener-source",
    layer="icmpv6",
    certainty="forbidden",
    source=memory("RFC 3810", "5.1.14, 5.2.13"),
    drops="application",
    lenient="hosts that do not compare them",
    example=breaking(LISTENER_QUERY, ((22, 38),), (22, _GLOBAL)),
)
def source(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """Who asks and who reports does so from its link-local address.

    A host that has none yet reports from ::, but nobody asks from it.
    """
    sender, ip = ends(icmpv6, view)[0], carrier(icmpv6, view)
    if sender is None or ip is None or not _is_about_listeners(icmpv6) or is_link_local(sender):
        return
    if any(sender) or icmpv6.number("type") == QUERY:
        yield at(ip["source_address"], None, f"sent from {printed(sender)}, not link-local")


@rule(
    "icmpv6-listener-group",
    layer="icmpv6",
    certainty="forbidden",
    source=memory("RFC 3810", "5.1.5, 5.2.8"),
    drops="application",
    example=breaking(LISTENER_REPORT_2, ((74, 90),), (74, TWO)),
)
def group(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """What is asked about and listened to is a group; a general query has zeros there."""
    if not _is_about_listeners(icmpv6):
        return
    general = icmpv6.number("type") == QUERY
    for field in icmpv6.fields:
        if field.name != "multicast_address" or not field.whole or field.raw[0] == 0xFF:
            continue
        if any(field.raw) or not general:
            yield at(field, None, f"{printed(field.raw)} is no group")


@rule(
    "icmpv6-listener-destination",
    layer="icmpv6",
    certainty="suspicious",
    source=memory("RFC 3810", "5.1.15, 5.2.14; RFC 2710, 8"),
    example=breaking(listener(LISTENER_REPORT[62:].hex(), ALL_ROUTERS), ((38, 54),)),
)
def destination(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """A general query goes to all nodes, a report to its group, the end to all routers.

    Reports of version 2 go to ff02::16. What goes to one host is left alone.
    """
    to, ip, about = (
        ends(icmpv6, view)[1],
        carrier(icmpv6, view),
        address(icmpv6, "multicast_address"),
    )
    kind = icmpv6.number("type")
    if to is None or ip is None or kind not in _MESSAGES or to[0] != 0xFF:
        return
    if kind == REPORT_2:
        wanted = _ALL_REPORTS
    elif about is None:
        return
    elif kind == DONE:
        wanted = bytes.fromhex(ALL_ROUTERS)
    else:
        wanted = about if any(about) else bytes.fromhex(ALL_NODES)
    if to != wanted:
        says = f"it goes to {printed(to)}, its place is {printed(wanted)}"
        yield at(ip["destination_address"], wanted.hex(), says)


@rule(
    "icmpv6-listener-records",
    layer="icmpv6",
    certainty="impossible",
    source=memory("RFC 3810", "5.1.10, 5.2.3"),
    drops="application",
    example=breaking(LISTENER_REPORT_2, ((68, 70),), (68, "0002")),
)
def records(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """As many records, or sources, as are announced are there."""
    if icmpv6.number("type") in (QUERY, REPORT_2):
        yield from unfilled(icmpv6, view, "number_of_multicast_address_records")


@rule(
    "icmpv6-listener-record-type",
    layer="icmpv6",
    certainty="suspicious",
    source=memory("RFC 3810", "5.2.12"),
    lenient="all hosts: they skip the record",
    example=breaking(LISTENER_REPORT_2, ((70, 71),), (70, "07")),
)
def record_type(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """A record has one of the types 1 to 6."""
    if icmpv6.number("type") == REPORT_2:
        yield from unknown_records(icmpv6)
