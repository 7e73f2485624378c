"""Neighbor discovery: what a host checks before it believes a message (RFC 4861 6.1, 7.1, 8.1)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import (
    ADVERTISEMENT,
    ALL_NODES,
    ALL_ROUTERS,
    ONE,
    ROUTER,
    SOLICITATION,
    SOLICITED,
    TWO,
    breaking,
    over_ipv6,
)
from framecheck.judging._icmpv6 import ADVERTISEMENT as ADVERTISES
from framecheck.judging._icmpv6 import (
    NEIGHBOR,
    REDIRECT,
    ROUTER_ADVERTISEMENT,
    ROUTER_SOLICITATION,
    SOURCE_LINK,
    ends,
    has,
    is_link_local,
    is_neighbor,
    options,
    solicited_node,
)
from framecheck.judging._icmpv6 import SOLICITATION as SOLICITS
from framecheck.judging._measure import carrier, extensions
from framecheck.judging._shapes import too_few
from framecheck.judging._tools import address, at, at_all, printed, span_of

_ALL = "6.1.1, 6.1.2, 7.1.1, 7.1.2, 8.1"
_NOBODY = "00" * 16
_GLOBAL = "20010db8" + "00" * 11 + "01"
_REDIRECT = over_ipv6("8900000000000000" + ONE + _GLOBAL)


@rule(
    "icmpv6-neighbor-incomplete",
    layer="icmpv6",
    certainty="impossible",
    source=rfc(4861, _ALL),
    drops="transport-length",
    example=breaking(over_ipv6("8700000000000000" + TWO[:8], target=SOLICITED), ((54, 66),)),
)
def incomplete(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """A solicitation of a router has 8 octets, an advertisement 16, those of neighbors 24.

    A redirect has 40. Options follow.
    """
    least = NEIGHBOR.get(icmpv6.number("type") or 0)
    if least is not None:
        yield from too_few(icmpv6, view, least, "the shortest message of its type has")


@rule(
    "icmpv6-neighbor-hop-limit",
    layer="icmpv6",
    certainty="forbidden",
    source=rfc(4861, _ALL),
    drops="application",
    example=breaking(SOLICITATION, ((21, 22),), (21, "40")),
)
def hop_limit(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """Messages of neighbor discovery have a hop limit of 255.

    That shows that no router forwarded them; a host silently discards any other.
    """
    ip = carrier(icmpv6, view)
    number = ip.number("hop_limit") if ip is not None else None
    if ip is not None and number is not None and number != 255 and is_neighbor(icmpv6):
        yield at(ip["hop_limit"], 255, f"the hop limit is {number}, not 255")


@rule(
    "icmpv6-neighbor-code",
    layer="icmpv6",
    certainty="forbidden",
    source=rfc(4861, _ALL),
    drops="application",
    example=breaking(SOLICITATION, ((55, 56),), (55, "01")),
)
def code(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """The code of neighbor discovery is 0."""
    number = icmpv6.number("code")
    if number and is_neighbor(icmpv6):
        yield at(icmpv6["code"], 0, f"the code is {number}, not 0")


@rule(
    "icmpv6-neighbor-fragmented",
    layer="icmpv6",
    certainty="forbidden",
    source=memory("RFC 6980", "5"),
    drops="application",
    example=breaking(
        over_ipv6("3a00000000000001" + SOLICITATION[54:].hex(), 44, target=SOLICITED), ((54, 62),)
    ),
)
def fragmented(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """Neighbor discovery is never fragmented; a host silently ignores it with such a header."""
    ip = carrier(icmpv6, view)
    if ip is not None and is_neighbor(icmpv6):
        for header in extensions(ip, view):
            if header.kind == "ipv6-fragment":
                says = "a message of neighbor discovery behind a fragment header"
                yield Breach((span_of(header),), None, None, says)


@rule(
    "icmpv6-neighbor-reserved-bits",
    layer="icmpv6",
    certainty="forbidden",
    source=rfc(4861, "4.1 to 4.5"),
    lenient="all hosts: the bits are ignored when received",
    example=breaking(SOLICITATION, ((58, 62),), (58, "00000100")),
)
def reserved_bits(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """Reserved bits are zero when sent.

    Those of a router advertisement are left alone: later standards gave them meanings.
    """
    number = icmpv6.number("reserved")
    if number and is_neighbor(icmpv6) and icmpv6.number("type") != ROUTER_ADVERTISEMENT:
        yield at(icmpv6["reserved"], 0, f"the reserved bits are {number:x}")


@rule(
    "icmpv6-neighbor-target",
    layer="icmpv6",
    certainty="forbidden",
    source=rfc(4861, "7.1.1, 7.1.2, 8.1"),
    drops="application",
    example=breaking(ADVERTISEMENT, ((62, 78),), (62, ALL_NODES)),
)
def target(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """Who is asked for, who answers, and who is redirected to, is one host and no group."""
    kind = icmpv6.number("type")
    names = {
        SOLICITS: "target_address",
        ADVERTISES: "target_address",
        REDIRECT: "destination_address",
    }
    found = address(icmpv6, names[kind]) if kind in names else None
    if kind is not None and found is not None and found[0] == 0xFF:
        yield at(icmpv6[names[kind]], None, f"{printed(found)} is a group")


@rule(
    "icmpv6-solicitation-from-nobody",
    layer="icmpv6",
    certainty="forbidden",
    source=rfc(4861, "7.1.1"),
    drops="application",
    example=breaking(
        over_ipv6("8700000000000000" + TWO, source=_NOBODY, target=ALL_NODES), ((22, 54),)
    ),
)
def solicitation_from_nobody(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """Who asks from :: whether an address is free asks the group of solicited nodes."""
    source, to = ends(icmpv6, view)
    ip = carrier(icmpv6, view)
    if icmpv6.number("type") != SOLICITS or source != bytes(16) or to is None or ip is None:
        return
    if to[:13] != solicited_node(to)[:13]:
        span = ip["source_address"].span._replace(stop=ip["destination_address"].stop)
        yield Breach((span,), printed(to), None, f":: asks {printed(to)}, no group of solicited")


@rule(
    "icmpv6-nobody-with-link-address",
    layer="icmpv6",
    certainty="forbidden",
    source=rfc(4861, "6.1.1, 7.1.1"),
    drops="application",
    example=breaking(
        over_ipv6("8500000000000000010100005e005301", source=_NOBODY, target=ALL_ROUTERS),
        ((22, 38), (62, 70)),
    ),
)
def nobody_with_link_address(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """Who asks from :: does not say its link-layer address: nobody may remember it yet."""
    kind, ip = icmpv6.number("type"), carrier(icmpv6, view)
    if ip is None or kind not in (SOLICITS, ROUTER_SOLICITATION):
        return
    if ends(icmpv6, view)[0] == bytes(16):
        for option in options(icmpv6):
            if option.code == SOURCE_LINK:
                says = "the unspecified address says its link-layer address"
                yield Breach((ip["source_address"].span, option.span), "::", None, says)


@rule(
    "icmpv6-solicitation-destination",
    layer="icmpv6",
    certainty="suspicious",
    source=rfc(4861, "4.3"),
    example=breaking(
        over_ipv6(SOLICITATION[54:].hex(), target=SOLICITED[:-2] + "03"), ((38, 54), (62, 78))
    ),
)
def solicitation_destination(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """A solicitation goes to its target, or to the group that ends as its target does.

    The host that is asked does not hear any other group.
    """
    to, asked, ip = ends(icmpv6, view)[1], address(icmpv6, "target_address"), carrier(icmpv6, view)
    if icmpv6.number("type") != SOLICITS or to is None or asked is None or ip is None:
        return
    wanted = solicited_node(asked)
    if to[0] == 0xFF and to != wanted and asked[0] != 0xFF:
        says = f"the group of {printed(asked)} is {printed(wanted)}, not {printed(to)}"
        fields = (ip["destination_address"], icmpv6["target_address"])
        yield at_all(fields, to.hex(), wanted.hex(), says)


@rule(
    "icmpv6-solicitation-without-link-address",
    layer="icmpv6",
    certainty="forbidden",
    source=rfc(4861, "4.3"),
    lenient="hosts, which then ask in turn",
    example=breaking(over_ipv6("8700000000000000" + TWO, target=SOLICITED), ((54, 78),)),
)
def solicitation_without_link_address(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """Who asks a group says where the answer is to go: the source link-layer address is there."""
    source, to = ends(icmpv6, view)
    # Behind an option that cannot be, there may be another.
    whole = icmpv6.whole("target_address") and not view.cut
    whole = whole and len(options(icmpv6)) == len(icmpv6.groups)
    if icmpv6.number("type") != SOLICITS or source is None or to is None or not whole:
        return
    if to[0] == 0xFF and any(source) and not has(icmpv6, SOURCE_LINK):
        says = "a solicitation to a group without the link-layer address of its source"
        yield Breach((span_of(icmpv6),), None, None, says)


@rule(
    "icmpv6-advertisement-to-group",
    layer="icmpv6",
    certainty="forbidden",
    source=rfc(4861, "7.1.2"),
    drops="application",
    example=breaking(over_ipv6(ADVERTISEMENT[54:].hex(), target=ALL_NODES), ((38, 54), (58, 59))),
)
def advertisement_to_group(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """What is said to a group was not solicited: the flag is clear."""
    to, ip = ends(icmpv6, view)[1], carrier(icmpv6, view)
    if icmpv6.number("type") != ADVERTISES or to is None or ip is None:
        return
    if to[0] == 0xFF and icmpv6.number("solicited"):
        fields = (ip["destination_address"], icmpv6["solicited"])
        yield at_all(fields, 1, 0, f"solicited, and sent to the group {printed(to)}")


@rule(
    "icmpv6-router-source",
    layer="icmpv6",
    certainty="forbidden",
    source=rfc(4861, "6.1.2, 8.1"),
    drops="application",
    example=breaking(over_ipv6(ROUTER[54:].hex(), source=_GLOBAL, target=ALL_NODES), ((22, 38),)),
)
def router_source(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """A router is known by its link-local address: it advertises and redirects from it."""
    source, ip = ends(icmpv6, view)[0], carrier(icmpv6, view)
    if icmpv6.number("type") not in (ROUTER_ADVERTISEMENT, REDIRECT) or source is None:
        return
    if ip is not None and not is_link_local(source):
        yield at(ip["source_address"], None, f"a router sends from {printed(source)}")


@rule(
    "icmpv6-redirect-target",
    layer="icmpv6",
    certainty="forbidden",
    source=rfc(4861, "8.1"),
    drops="application",
    example=breaking(_REDIRECT, ((62, 94),), (62, "20010db8" + "00" * 11 + "09")),
)
def redirect_target(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """A redirect leads to a router's link-local address, or to the destination itself."""
    first, last = address(icmpv6, "target_address"), address(icmpv6, "destination_address")
    if icmpv6.number("type") != REDIRECT or first is None or last is None:
        return
    if first != last and not is_link_local(first):
        span = icmpv6["target_address"].span._replace(stop=icmpv6["destination_address"].stop)
        yield Breach((span,), first.hex(), None, f"redirected to {printed(first)}, no router's")
