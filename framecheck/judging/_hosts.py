"""What the rules about addresses of IP that changed share, for IPv4 and IPv6."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._changes import changed
from framecheck.judging._tools import colons, printed
from framecheck.judging.memory.hosts import Hosts


def other_address(ip: Layer, view: View, end: str) -> Iterator[Breach]:
    """The breach that an address is which a slip makes of the one that its hardware address had.

    ``end``: ``source`` or ``destination``.
    """
    link = view.layers[0]
    field = ip.get(f"{end}_address")
    if view.past is None or link.kind != "ethernet" or field is None or not field.whole:
        return
    hardware, hosts = link[end].raw, view.past.of(Hosts)
    usual = hosts.address_of(hardware, len(field.raw))
    if usual is not None and usual != field.raw and not hosts.knows(field.raw):
        says = f"{colons(hardware)} was {printed(usual)} before, here {printed(field.raw)}"
        yield from changed(field, usual, says)
