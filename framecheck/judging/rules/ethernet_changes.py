"""Hardware addresses that differ a little from those of the same hosts in earlier frames."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, practice, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._changes import changed
from framecheck.judging._examples import ICMP, TCP, UDP, behind, edited
from framecheck.judging._tools import colons, printed
from framecheck.judging.memory.hosts import Hosts, pairs

_BEFORE = (UDP.hex(), ICMP.hex())


def _slipped(ethernet: Layer, view: View, name: str, which: int) -> Iterator[Breach]:
    if view.past is None or not ethernet.whole(name):
        return
    found = pairs(ethernet, view)
    if len(found) <= which:
        return
    hosts = view.past.of(Hosts)
    address, ip = found[which]
    usual = hosts.hardware_of(ip)
    if usual is not None and address != usual and not hosts.knows(address):
        says = f"{printed(ip)} was at {colons(usual)} before, here it is at {colons(address)}"
        yield from changed(ethernet[name], usual, says)


@rule(
    "ethernet-source-changed",
    layer="ethernet",
    certainty="unusual",
    source=practice("a host keeps its hardware address"),
    example=behind(_BEFORE, edited(TCP, (11, "03")), ((11, 12),)),
)
def source_changed(ethernet: Layer, view: View) -> Iterator[Breach]:
    """A host sends from the hardware address from which it sent before.

    Said once for each address that one flipped bit, one other octet, or an exchange of octets
    makes of the usual one. Hosts with several adapters in one network do this too.
    """
    yield from _slipped(ethernet, view, "source", 0)


@rule(
    "ethernet-destination-changed",
    layer="ethernet",
    certainty="unusual",
    source=practice("a host keeps its hardware address"),
    example=behind(_BEFORE, edited(TCP, (4, "0253")), ((4, 6),)),
)
def destination_changed(ethernet: Layer, view: View) -> Iterator[Breach]:
    """A datagram goes to the hardware address at which its host was before.

    The filter of the adapter drops what is for another address, and no counter of IP moves.
    """
    yield from _slipped(ethernet, view, "destination", 1)
