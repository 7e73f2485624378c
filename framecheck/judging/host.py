"""What a host asks before it takes a frame: whether it is for its address, and for its port.

These rules speak of the host that ``view.host`` describes. Breaking them is no damage and makes no
finding; it only ends the frame's way through the host.
"""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import SOLICITATION, UDP, breaking
from framecheck.judging._tools import is_group, printed


def is_broadcast_for(address: bytes, ours: bytes) -> bool:
    """Whether an address could be the broadcast of a subnet that holds ``ours`` (RFC 1122 3.3.6).

    The mask is not known: any host part of 2 bits or more that is all ones counts.
    """
    theirs, own = int.from_bytes(address, "big"), int.from_bytes(ours, "big")
    return any(
        theirs >> bits == own >> bits and theirs & ((1 << bits) - 1) == (1 << bits) - 1
        for bits in range(2, 25)
    )


@rule(
    "host-mac-address",
    layer="ethernet",
    certainty="unusual",
    source=rfc(1122, "2.4"),
    drops="mac-address-filter-and-fcs",
    example=breaking(UDP, ((0, 6),), (0, "00005e005309")),
)
def mac_address(ethernet: Layer, view: View) -> Iterator[Breach]:
    """The destination address must be the host's own, the broadcast, or a group that it joined.

    The filter in the MAC drops anything else before any software sees it, and no counter of IP
    moves. A switch that has forgotten a port sends such frames to everybody.
    """
    destination, ours = ethernet.get("destination"), view.host.mac
    if destination is None or not destination.whole or ours is None:
        return
    if destination.raw != ours and not destination.raw[0] & 1:
        says = f"the frame is for {destination.raw.hex(':')}, the host is {ours.hex(':')}"
        yield Breach((destination.span,), destination.raw.hex(), ours.hex(), says)


def is_announcement(arp: Layer) -> bool:
    """Whether an ARP message tells everybody its sender's own address (RFC 5227 2.3)."""
    target = arp["target_protocol_address"].raw
    return any(target) and target == arp["sender_protocol_address"].raw


@rule(
    "host-ip-address",
    layer="ipv4",
    certainty="unusual",
    source=rfc(1122, "3.2.1.3"),
    drops="source-destination-address",
    example=breaking(UDP, ((30, 34),), (30, "c0000209")),
)
def ip_address(layer: Layer, view: View) -> Iterator[Breach]:
    """The IP destination must be the host's own address, a broadcast, or a group that it joined.

    A host discards anything else in silence. An ARP request for another address is not answered.
    """
    ours = view.host.ip
    asked = layer.kind == "arp"
    field = layer.get("target_protocol_address" if asked else "destination_address")
    if ours is None or field is None or not field.whole or len(field.raw) != len(ours):
        return
    address = field.raw
    if address == ours or (not asked and _for_many(layer, view, address, ours)):
        return
    if asked and is_announcement(layer):
        return
    what = "asks for" if asked else "is for"
    says = f"the frame {what} {printed(address)}, the host is {printed(ours)}"
    yield Breach((field.span,), address.hex(), ours.hex(), says)


def _for_many(ip: Layer, view: View, address: bytes, ours: bytes) -> bool:
    if is_group(address) or address == b"\xff" * 4:
        return True
    if len(address) == 16:
        return False  # IPv6 has no broadcast
    link = view.find("ethernet")
    on_broadcast = link is None or link.number("destination") == (1 << 48) - 1
    return on_broadcast and is_broadcast_for(address, ours)


@rule(
    "host-solicited-address",
    layer="icmpv6",
    certainty="unusual",
    source=rfc(4861, "7.2.3"),
    drops="application",
    example=breaking(SOLICITATION, ((62, 78),), (76, "5309")),
)
def solicited_address(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """A neighbor solicitation must ask for an address of the host's own.

    The group of solicited nodes is shared by all whose addresses end in the same 24 bits; a host
    discards in silence what asks for another address.
    """
    target, ours = icmpv6.get("target_address"), view.host.ip
    if target is None or not target.whole or ours is None or len(ours) != len(target.raw):
        return
    if target.raw != ours:
        says = f"the frame asks for {printed(target.raw)}, the host is {printed(ours)}"
        yield Breach((target.span,), target.raw.hex(), ours.hex(), says)


@rule(
    "host-port-number",
    layer="udp",
    certainty="unusual",
    source=rfc(1122, "3.2.2.1"),
    drops="port",
    example=breaking(UDP, ((36, 38),), (36, "138a")),
)
def port_number(transport: Layer, view: View) -> Iterator[Breach]:
    """The destination port must be one on which the host listens.

    The host answers a UDP datagram for another port with ICMP 3/3 (not when it was a broadcast),
    a TCP segment with a reset.
    """
    port, ours = transport.number("destination_port"), view.host.port
    if port is not None and ours is not None and port != ours:
        says = f"the frame is for port {port}, the host listens on {ours}"
        yield Breach((transport["destination_port"].span,), port, ours, says)


RULES = (mac_address, ip_address, solicited_address, port_number)
