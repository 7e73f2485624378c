"""IPv6 addresses: which may send, which may receive, and whether the link agrees."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, practice, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import ALL_NODES, ECHO_IPV6, UDP_IPV6, breaking, over_ipv6
from framecheck.judging._measure import extensions
from framecheck.judging._tools import address, at, at_all, colons, in_loopback, printed

_UNSPECIFIED, _LOOPBACK = bytes(16), bytes(15) + b"\1"
_MAPPED = bytes(10) + b"\xff\xff"
_LEARNING = frozenset((131, 132, 133, 135, 143))
"""ICMPv6 messages that a host sends before it has an address: RFC 4861 4, RFC 3590."""


@rule(
    "ipv6-source-address",
    layer="ipv6",
    certainty="forbidden",
    source=memory("RFC 4291", "2.5.3 and 2.7"),
    drops="source-destination-address",
    lenient="small stacks that take the loopback address from any link",
    example=breaking(UDP_IPV6, ((22, 38),), (22, ALL_NODES)),
)
def source_address(ip: Layer, view: View) -> Iterator[Breach]:
    """The source is one host's own address: neither a group nor, on a wire, loopback."""
    source = address(ip, "source_address")
    if source is None:
        return
    if source[0] == 0xFF:
        yield at(ip["source_address"], None, f"the source {printed(source)} is a group")
    elif source == _LOOPBACK and not in_loopback(view):
        says = "the source is the loopback address, which never leaves its host"
        yield at(ip["source_address"], None, says)


@rule(
    "ipv6-source-unspecified",
    layer="ipv6",
    certainty="forbidden",
    source=memory("RFC 4291", "2.5.2"),
    lenient="common hosts, which find nobody to answer",
    example=breaking(UDP_IPV6, ((22, 38),), (22, "00" * 16)),
)
def source_unspecified(ip: Layer, view: View) -> Iterator[Breach]:
    """The address :: sends only while a host learns its own.

    It asks whether anybody has an address, looks for a router, or reports a group (RFC 3590).
    """
    if address(ip, "source_address") != _UNSPECIFIED or view.cut:
        return
    above = view.above((ip, *extensions(ip, view))[-1])
    if above is None or above.kind == "icmpv6":
        kind = above.number("type") if above is not None else None
        if kind is None or kind in _LEARNING:
            return
    yield at(ip["source_address"], None, "the unspecified address sends")


@rule(
    "ipv6-source-special-block",
    layer="ipv6",
    certainty="unusual",
    source=memory("RFC 6890", "2.2.3"),
    example=breaking(UDP_IPV6, ((22, 38),), (22, "2002c000020100000000000000000001")),
)
def source_special_block(ip: Layer, view: View) -> Iterator[Breach]:
    """The source is from a block with a special use that a bench seldom sees."""
    source = address(ip, "source_address")
    if source is None:
        return
    if source[:2] == b"\x20\x02":
        use = "made from an IPv4 address (2002::/16)"
    elif source[:4] == b"\x20\x01\x00\x00":
        use = "of a tunnel through UDP (2001::/32)"
    elif source[0] == 0xFE and source[1] & 0xC0 == 0xC0:
        use = "site-local, which is no longer used (fec0::/10)"
    elif source[:8] == b"\x01" + bytes(7):
        use = "for what is to be discarded (100::/64)"
    else:
        return
    yield at(ip["source_address"], None, f"the source {printed(source)} is {use}")


@rule(
    "ipv6-mapped-address",
    layer="ipv6",
    certainty="suspicious",
    source=practice("addresses of IPv4 in ::ffff:0:0/96 live inside hosts"),
    example=breaking(UDP_IPV6, ((22, 38),), (22, "00000000000000000000ffffc0000201")),
)
def mapped_address(ip: Layer, view: View) -> Iterator[Breach]:
    """An IPv4 address in the form of IPv6 is for programs of one host, never for a wire."""
    for name in ("source_address", "destination_address"):
        found = address(ip, name)
        if found is not None and found[:12] == _MAPPED:
            yield at(ip[name], None, f"{printed(found)} stands for an IPv4 address")


@rule(
    "ipv6-destination-address",
    layer="ipv6",
    certainty="forbidden",
    source=memory("RFC 4291", "2.5.2 and 2.5.3"),
    drops="source-destination-address",
    example=breaking(UDP_IPV6, ((38, 54),), (38, "00" * 15 + "01")),
)
def destination_address(ip: Layer, view: View) -> Iterator[Breach]:
    """Nothing goes to ::, and on a wire nothing goes to the loopback address."""
    target = address(ip, "destination_address")
    if target == _UNSPECIFIED or (target == _LOOPBACK and not in_loopback(view)):
        says = f"the destination is {printed(target)}"
        yield at(ip["destination_address"], None, says)


@rule(
    "ipv6-multicast-scope",
    layer="ipv6",
    certainty="forbidden",
    source=memory("RFC 4291", "2.7"),
    drops="source-destination-address",
    lenient="small stacks that do not look at the scope; server kernels drop it",
    example=breaking(
        over_ipv6(UDP_IPV6[54:].hex(), 17, 64, target="ff01" + ALL_NODES[4:]), ((38, 54),)
    ),
)
def multicast_scope(ip: Layer, view: View) -> Iterator[Breach]:
    """A group has a scope: 0 is reserved, and 1 never leaves its interface.

    A host drops both in silence when they come from a link.
    """
    target = address(ip, "destination_address")
    if target is None or target[0] != 0xFF or target[1] & 15 > 1 or in_loopback(view):
        return
    says = f"the scope of {printed(target)} is {target[1] & 15}"
    yield at(ip["destination_address"], None, says)


@rule(
    "ipv6-multicast-address",
    layer="ipv6",
    certainty="suspicious",
    source=memory("RFC 2464", "7"),
    drops="mac-address-filter-and-fcs",
    lenient="devices without a filter for groups, and hosts that take all groups in",
    example=breaking(
        over_ipv6(ECHO_IPV6[54:].hex(), target=ALL_NODES, link="333300000002"), ((0, 6), (38, 54))
    ),
)
def multicast_address(ip: Layer, view: View) -> Iterator[Breach]:
    """A group goes to 33-33 and the low 32 bits of its address, and nothing else does.

    The MAC filter of a member waits for exactly that address. A unicast link address is left
    alone: access points send groups that way.
    """
    link, target = view.find("ethernet"), address(ip, "destination_address")
    if link is None or target is None or in_loopback(view):
        return
    to = link["destination"].raw
    wanted = b"\x33\x33" + target[12:] if target[0] == 0xFF else b""
    if not to[0] & 1 or to == wanted:
        return
    if wanted:
        says = f"the group's link address is {colons(wanted)}, the frame goes to {colons(to)}"
    else:
        says = f"{colons(to)} is for many, {printed(target)} is one address"
    fields = (link["destination"], ip["destination_address"])
    yield at_all(fields, to.hex(), wanted.hex() or None, says)
