"""IGMP: who listens to which group (RFC 1112, RFC 2236, RFC 3376; all from memory)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import QUERY, REPORT, breaking
from framecheck.judging._groups import unfilled, unknown_records
from framecheck.judging._measure import carrier
from framecheck.judging._shapes import too_few
from framecheck.judging._tools import address, at, dotted, span_of

_ASKS, _REPORTS_1, _REPORTS_2, _LEAVES, _REPORTS_3 = 0x11, 0x12, 0x16, 0x17, 0x22
_MESSAGES = frozenset((_ASKS, _REPORTS_1, _REPORTS_2, _LEAVES, _REPORTS_3))
_OTHERS = frozenset((0x13, 0x14, 0x15, 0x1E, 0x1F, 0x30, 0x31, 0x32, 0x40, 0x41, 0x42, 0xF0))
"""DVMRP, PIM, traces, multicast router discovery, relays: not of hosts."""
_ROUTER_ALERT = 148
_EVERYBODY, _ALL_ROUTERS = bytes((224, 0, 0, 1)), bytes((224, 0, 0, 2))
_ALL_REPORTS = bytes((224, 0, 0, 22))
_SHORTEST = 8


@rule(
    "igmp-incomplete",
    layer="igmp",
    certainty="impossible",
    source=memory("RFC 2236", "2"),
    drops="transport-length",
    example=breaking(QUERY, ((38, 43),), (16, "001d"), stop=43),
)
def incomplete(igmp: Layer, view: View) -> Iterator[Breach]:
    """A message has at least 8 octets."""
    yield from too_few(igmp, view, _SHORTEST, "a message has at least")


@rule(
    "igmp-type-unknown",
    layer="igmp",
    certainty="suspicious",
    source=memory("RFC 3376", "4"),
    drops="application",
    example=breaking(QUERY, ((38, 39),), (38, "99")),
)
def type_unknown(igmp: Layer, view: View) -> Iterator[Breach]:
    """The type is one that a standard names; a host silently ignores any other."""
    number = igmp.number("type")
    if number is not None and number not in _MESSAGES | _OTHERS:
        yield at(igmp["type"], None, f"type {number:02x} is named by no standard")


@rule(
    "igmp-time-to-live",
    layer="igmp",
    certainty="forbidden",
    source=memory("RFC 2236", "2"),
    lenient="common hosts, which do not look",
    example=breaking(QUERY, ((22, 23),), (22, "40")),
)
def time_to_live(igmp: Layer, view: View) -> Iterator[Breach]:
    """Messages about groups stay on their link: the time to live is 1."""
    ip = carrier(igmp, view)
    number = ip.number("time_to_live") if ip is not None else None
    if ip is not None and number not in (1, None) and igmp.number("type") in _MESSAGES:
        yield at(ip["time_to_live"], 1, f"the time to live is {number}, not 1")


@rule(
    "igmp-router-alert",
    layer="igmp",
    certainty="suspicious",
    source=memory("RFC 3376", "4"),
    lenient="common hosts, which do not look; routers may ignore it",
    example=breaking(QUERY, ((34, 42),), (14, "45"), (16, "001c"), (34, QUERY[38:].hex()), stop=42),
)
def router_alert(igmp: Layer, view: View) -> Iterator[Breach]:
    """Messages of versions 2 and 3 carry the router alert option.

    Version 1 does not: its reports, and queries without a response time.
    """
    ip, kind = carrier(igmp, view), igmp.number("type")
    old = kind == _REPORTS_1 or (kind == _ASKS and not igmp.number("max_resp_code"))
    if ip is None or kind not in _MESSAGES or old:
        return
    if ip.group(_ROUTER_ALERT) is None:
        yield Breach((span_of(igmp),), None, None, "the router alert option is not there")


@rule(
    "igmp-group-address",
    layer="igmp",
    certainty="forbidden",
    source=memory("RFC 3376", "4.1.3, 4.2.9"),
    drops="application",
    example=breaking(REPORT, ((50, 54),), (50, "c0000202")),
)
def group_address(igmp: Layer, view: View) -> Iterator[Breach]:
    """What is asked about and listened to is a group; a general query has zeros there."""
    kind = igmp.number("type")
    if kind not in _MESSAGES:
        return
    for field in igmp.fields:
        named = field.name in ("group_address", "multicast_address") and field.whole
        if not named or 224 <= field.raw[0] <= 239 or (kind == _ASKS and not any(field.raw)):
            continue
        yield at(field, None, f"{dotted(field.raw)} is no group")


@rule(
    "igmp-destination",
    layer="igmp",
    certainty="suspicious",
    source=memory("RFC 3376", "4.1.12, 4.2.14; RFC 2236, 9"),
    example=breaking(QUERY, ((30, 34),), (0, "01005e000002"), (30, "e0000002")),
)
def destination(igmp: Layer, view: View) -> Iterator[Breach]:
    """A general query goes to 224.0.0.1, a report to its group, those of version 3 to 224.0.0.22.

    Who leaves tells 224.0.0.2, or the group. What goes to one host is left alone.
    """
    ip, kind, group = carrier(igmp, view), igmp.number("type"), address(igmp, "group_address")
    to = address(ip, "destination_address") if ip is not None else None
    if ip is None or to is None or kind not in _MESSAGES or not 224 <= to[0] <= 239:
        return
    if kind == _REPORTS_3:
        right: tuple[bytes, ...] = (_ALL_REPORTS,)
    elif group is None:
        return
    elif kind == _LEAVES:
        right = (_ALL_ROUTERS, group)
    else:
        right = (group if any(group) else _EVERYBODY,)
    if to not in right:
        says = f"it goes to {dotted(to)}, its place is {dotted(right[0])}"
        yield at(ip["destination_address"], right[0].hex(), says)


@rule(
    "igmp-unused-octet",
    layer="igmp",
    certainty="suspicious",
    source=memory("RFC 2236", "2.2"),
    lenient="all hosts: the octet is ignored when received",
    example=breaking(REPORT, ((39, 40),), (39, "64")),
)
def unused_octet(igmp: Layer, view: View) -> Iterator[Breach]:
    """Only a query has a response time; in every other message that octet is zero."""
    if igmp.number("type") not in _MESSAGES:
        return
    for name in ("max_resp_time", "reserved1"):
        if igmp.number(name):
            yield at(igmp[name], 0, f"the octet behind the type is {igmp.number(name):02x}")


@rule(
    "igmp-records",
    layer="igmp",
    certainty="impossible",
    source=memory("RFC 3376", "4.1.8, 4.2.3"),
    drops="application",
    example=breaking(REPORT, ((44, 46),), (44, "0003")),
)
def records(igmp: Layer, view: View) -> Iterator[Breach]:
    """As many records, or sources, as are announced are there."""
    if igmp.number("type") in (_ASKS, _REPORTS_3):
        yield from unfilled(igmp, view, "number_of_group_records")


@rule(
    "igmp-record-type",
    layer="igmp",
    certainty="suspicious",
    source=memory("RFC 3376", "4.2.12"),
    lenient="all hosts: they skip the record",
    example=breaking(REPORT, ((46, 47),), (46, "09")),
)
def record_type(igmp: Layer, view: View) -> Iterator[Breach]:
    """A record has one of the types 1 to 6."""
    if igmp.number("type") == _REPORTS_3:
        yield from unknown_records(igmp)
