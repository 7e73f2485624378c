"""DHCP: a transaction that changed, and a client's address against its frame's."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, practice, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._changes import changed, fails
from framecheck.judging._examples import DISCOVER, OFFER, behind, breaking, edited
from framecheck.judging._tools import at_all, colons
from framecheck.judging.memory.runs import Runs


@rule(
    "dhcp-transaction-changed",
    layer="dhcp",
    certainty="suspicious",
    source=practice("an answer bears the transaction of its question (RFC 2131 4.3.1 table 3)"),
    example=behind((DISCOVER.hex(),), edited(OFFER, (47, "07"), resum=False), ((47, 48),)),
)
def transaction_changed(dhcp: Layer, view: View) -> Iterator[Breach]:
    """A client's messages and their answers bear one transaction.

    Said where the UDP checksum fails and one slip makes the number of the one in which this client
    was seen last.
    """
    field = dhcp.get("xid")
    if view.past is None or field is None or not dhcp.whole("xid", "chaddr"):
        return
    wanted = view.past.of(Runs).transaction(dhcp)
    if wanted is not None and fails(view, "udp-checksum"):
        says = f"the transaction is {field.raw.hex()}, the client's last was {wanted.hex()}"
        yield from changed(field, wanted, says)


@rule(
    "dhcp-client-not-frame-source",
    layer="dhcp",
    certainty="suspicious",
    source=practice("RFC 2131 has no such rule"),
    lenient="hosts; bridges that send for others rewrite the frame's source",
    example=breaking(DISCOVER, ((6, 12), (70, 76)), (75, "09")),
)
def client_not_frame_source(dhcp: Layer, view: View) -> Iterator[Breach]:
    """A client that speaks for itself sends from the hardware address that it states.

    Not looked at where a relay passed the message on.
    """
    link = view.layers[0]
    field = dhcp.get("chaddr")
    direct = dhcp.number("op") == 1 and not dhcp.number("giaddr") and not dhcp.number("hops")
    if not direct or link.kind != "ethernet" or field is None or not field.whole:
        return
    if dhcp.number("htype") != 1 or dhcp.number("hlen") != 6 or not dhcp.whole("giaddr"):
        return
    own, source = field.raw[:6], link["source"].raw
    if own != source:
        says = f"the client states {colons(own)}, the frame comes from {colons(source)}"
        part = field._replace(stop=field.start + 48, value=own, wanted=48)
        yield at_all((link["source"], part), own.hex(), source.hex(), says)
