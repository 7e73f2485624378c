"""ARP senders whose address of IP differs a little from the one that they had."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, practice, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._changes import changed
from framecheck.judging._examples import ARP, ICMP, UDP, behind, edited
from framecheck.judging._tools import address, colons, printed
from framecheck.judging.memory.hosts import Hosts


@rule(
    "arp-sender-changed",
    layer="arp",
    certainty="unusual",
    source=practice("nothing vouches for the octets of ARP; a host keeps its address"),
    example=behind((UDP.hex(), ICMP.hex()), edited(ARP, (31, "05")), ((31, 32),)),
)
def sender_changed(arp: Layer, view: View) -> Iterator[Breach]:
    """A host asks from the address of IP that it had in earlier frames.

    Said where one flipped bit, one other octet, or an exchange of octets makes the new address of
    the usual one. A host may have two addresses, or get a new one.
    """
    hardware, ip = address(arp, "sender_hardware_address"), address(arp, "sender_protocol_address")
    if view.past is None or hardware is None or ip is None or len(ip) != 4 or not any(ip):
        return
    hosts = view.past.of(Hosts)
    usual = hosts.address_of(hardware, 4)
    if usual is not None and usual != ip and not hosts.knows(ip):
        says = f"{colons(hardware)} was {printed(usual)} before, here it is {printed(ip)}"
        yield from changed(arp["sender_protocol_address"], usual, says)
