"""IPv4 addresses: which may send, which may receive, and whether the link agrees."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import UDP, breaking
from framecheck.judging._tools import address, at, at_all, colons, dotted, in_loopback

_EVERYBODY = b"\xff" * 4
_LINK_BROADCAST = b"\xff" * 6
_IGMP = 2


def _never_sends(source: bytes) -> str | None:
    first = source[0]
    if source == _EVERYBODY:
        return "the broadcast address"
    if 224 <= first <= 239:
        return "a group address"
    if first == 127:
        return "a loopback address, which never leaves its host"
    if first >= 240:
        return "of class E, which is reserved"
    if first == 0 and any(source):
        return "of network 0, which only names a host to itself"
    return None


@rule(
    "ipv4-source-address",
    layer="ipv4",
    certainty="forbidden",
    source=rfc(1122, "3.2.1.3"),
    drops="source-destination-address",
    lenient="common hosts deliver what comes from 240/4 and from 0/8",
    example=breaking(UDP, ((26, 30),), (26, "e0000001")),
)
def source_address(ip: Layer, view: View) -> Iterator[Breach]:
    """The source is one host's own address: no group, broadcast, loopback or reserved one.

    A host silently discards such a datagram, and common ones count it nowhere.
    """
    source = address(ip, "source_address")
    why = _never_sends(source) if source is not None else None
    if source is None or why is None or (source[0] == 127 and in_loopback(view)):
        return
    yield at(ip["source_address"], None, f"the source {dotted(source)} is {why}")


@rule(
    "ipv4-source-unspecified",
    layer="ipv4",
    certainty="forbidden",
    source=rfc(1122, "3.2.1.3"),
    drops="source-destination-address",
    example=breaking(UDP, ((26, 30), (30, 34)), (26, "00000000")),
)
def source_unspecified(ip: Layer, view: View) -> Iterator[Breach]:
    """0.0.0.0 sends only while a host learns its address, and then to everybody.

    Group membership queries of switches are left alone; they also come from it.
    """
    source, target = address(ip, "source_address"), address(ip, "destination_address")
    if source != bytes(4) or target is None or ip.number("protocol") == _IGMP:
        return
    if target != _EVERYBODY and not 224 <= target[0] <= 239:
        says = f"0.0.0.0 sends to one host, {dotted(target)}"
        yield at_all((ip["source_address"], ip["destination_address"]), "00000000", None, says)


@rule(
    "ipv4-source-special-block",
    layer="ipv4",
    certainty="unusual",
    source=memory("RFC 6890", "2.2.2"),
    example=breaking(UDP, ((26, 30),), (26, "c6120001")),
)
def source_special_block(ip: Layer, view: View) -> Iterator[Breach]:
    """The source is from a block with a special use that a bench seldom sees."""
    source = address(ip, "source_address")
    if source is None:
        return
    if source[0] == 100 and source[1] & 0xC0 == 64:
        use = "shared by carriers (100.64/10)"
    elif source[0] == 198 and source[1] & 0xFE == 18:
        use = "for benchmarks (198.18/15)"
    elif source[:3] in (b"\xc0\x00\x00", b"\xc0\x58\x63"):
        use = "for protocols (192.0.0/24, 192.88.99/24)"
    else:
        return
    yield at(ip["source_address"], None, f"the source {dotted(source)} is {use}")


@rule(
    "ipv4-destination-address",
    layer="ipv4",
    certainty="suspicious",
    source=rfc(1122, "3.2.1.3"),
    drops="source-destination-address",
    lenient="small stacks that take loopback addresses from any link",
    example=breaking(UDP, ((30, 34),), (30, "7f000001")),
)
def destination_address(ip: Layer, view: View) -> Iterator[Breach]:
    """On a wire nothing goes to a loopback address, to network 0 or to class E."""
    target = address(ip, "destination_address")
    if target is None or in_loopback(view) or target == _EVERYBODY:
        return
    if target[0] in (0, 127) or target[0] >= 240:
        yield at(ip["destination_address"], None, f"the destination is {dotted(target)}")


@rule(
    "ipv4-unicast-in-broadcast",
    layer="ipv4",
    certainty="suspicious",
    source=rfc(1122, "3.3.6"),
    drops="source-destination-address",
    lenient="common hosts answer an echo request of this kind; small strict stacks do not",
    example=breaking(UDP, ((0, 6), (30, 34)), (0, "ffffffffffff")),
)
def unicast_in_broadcast(ip: Layer, view: View) -> Iterator[Breach]:
    """What the link broadcasts, IP addresses to a broadcast or a group.

    A host should silently discard a link broadcast for one IP address. The mask is not known:
    an address whose last four bits are all ones, or whose last number is 0, may be a broadcast
    of its subnet and is left alone.
    """
    link, target = view.find("ethernet"), address(ip, "destination_address")
    if link is None or target is None or link["destination"].raw != _LINK_BROADCAST:
        return
    if target[0] >= 224 or target[3] & 15 == 15 or target[3] == 0:
        return
    says = f"a broadcast frame carries a datagram for {dotted(target)} alone"
    yield at_all((link["destination"], ip["destination_address"]), target.hex(), None, says)


@rule(
    "ipv4-multicast-address",
    layer="ipv4",
    certainty="suspicious",
    source=memory("RFC 1112", "6.4"),
    drops="mac-address-filter-and-fcs",
    lenient="devices without a filter for groups, and hosts that take all groups in",
    example=breaking(UDP, ((0, 6), (30, 34)), (0, "01005e000002"), (30, "e00000fb")),
)
def multicast_address(ip: Layer, view: View) -> Iterator[Breach]:
    """A group goes to 01-00-5e and the low 23 bits of its IP address, and nothing else does.

    The MAC filter of a member waits for exactly that address. A flipped group bit in the
    destination makes a host take what was meant for one station, or the other way round.
    """
    link, target = view.find("ethernet"), address(ip, "destination_address")
    if link is None or target is None or in_loopback(view):
        return
    to = link["destination"].raw
    if 224 <= target[0] <= 239:
        wanted = b"\x01\x00\x5e" + bytes((target[1] & 0x7F,)) + target[2:]
        says = f"the link address of {dotted(target)} is {colons(wanted)}, not {colons(to)}"
    elif to[:3] == b"\x01\x00\x5e":
        wanted, says = b"", f"{colons(to)} is for groups, {dotted(target)} is none"
    else:
        return
    if to != wanted:
        fields = (link["destination"], ip["destination_address"])
        yield at_all(fields, to.hex(), wanted.hex() or None, says)
