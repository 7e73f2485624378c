"""ARP: who asks, who is asked, and whether the link agrees (RFC 826, RFC 3927)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, practice, rfc, rule
from framecheck.core.layer import Field, Layer
from framecheck.core.view import View
from framecheck.judging._examples import ARP, ARP_REPLY, breaking
from framecheck.judging._tools import at, at_all, colons, dotted


def _usual(arp: Layer) -> bool:
    """Whether the lengths are Ethernet's and IPv4's, so that addresses stand where they seem to."""
    lengths = arp.number("hardware_length"), arp.number("protocol_length")
    return lengths == (6, 4) and arp.whole("target_protocol_address")


def _link(arp: Layer, view: View, name: str) -> Field | None:
    ethernet = view.find("ethernet")
    return ethernet.get(name) if ethernet is not None else None


@rule(
    "arp-sender-not-frame-source",
    layer="arp",
    certainty="suspicious",
    source=practice("RFC 826 has no such rule"),
    lenient="common hosts, which do not compare them",
    example=breaking(ARP, ((6, 12), (22, 28)), (22, "00005e005309")),
)
def sender_not_frame_source(arp: Layer, view: View) -> Iterator[Breach]:
    """The sender's hardware address is where the frame came from."""
    source = _link(arp, view, "source")
    if source is None or not _usual(arp):
        return
    sender = arp["sender_hardware_address"]
    if sender.raw != source.raw:
        says = f"ARP's sender is {colons(sender.raw)}, the frame's source is {colons(source.raw)}"
        yield at_all((source, sender), sender.raw.hex(), source.raw.hex(), says)


@rule(
    "arp-sender-group",
    layer="arp",
    certainty="impossible",
    source=memory("IEEE 802.3", "3.2.3"),
    lenient="common hosts, which answer regardless",
    example=breaking(ARP, ((22, 28),), (22, "01")),
)
def sender_group(arp: Layer, view: View) -> Iterator[Breach]:
    """The sender's hardware address is one station's: its group bit is zero."""
    if _usual(arp) and arp["sender_hardware_address"].raw[0] & 1:
        field = arp["sender_hardware_address"]
        yield at(field, None, f"the sender {colons(field.raw)} is a group address")


@rule(
    "arp-sender-zero",
    layer="arp",
    certainty="suspicious",
    source=practice("an address register that was never written"),
    lenient="common hosts, which answer regardless",
    example=breaking(ARP, ((22, 28),), (22, "000000000000")),
)
def sender_zero(arp: Layer, view: View) -> Iterator[Breach]:
    """A sender's hardware address of zeros is that of a controller whose address was never set."""
    if _usual(arp) and not any(arp["sender_hardware_address"].raw):
        field = arp["sender_hardware_address"]
        yield at(field, None, "the sender's hardware address is all zeros")


@rule(
    "arp-request-target-filled",
    layer="arp",
    certainty="unusual",
    source=rfc(826, "Packet format"),
    example=breaking(ARP, ((32, 38),), (32, "00005e005307")),
)
def request_target_filled(arp: Layer, view: View) -> Iterator[Breach]:
    """In a request the target's hardware address has no meaning; it is usually zero.

    Hosts ignore it. A host that checks on a neighbour it knows puts that address in, and sends
    the frame there: that is left alone.
    """
    if arp.number("operation") != 1 or not _usual(arp):
        return
    field, link = arp["target_hardware_address"], _link(arp, view, "destination")
    blank = (bytes(6), b"\xff" * 6, link.raw if link is not None else b"")
    if field.raw not in blank:
        yield at(field, "000000000000", f"the request already names {colons(field.raw)}")


@rule(
    "arp-reply-not-for-target",
    layer="arp",
    certainty="suspicious",
    source=rfc(826, "Packet Reception"),
    example=breaking(ARP_REPLY, ((0, 6), (32, 38)), (32, "00005e005309")),
)
def reply_not_for_target(arp: Layer, view: View) -> Iterator[Breach]:
    """A reply goes to its target: the frame's destination and the target address agree."""
    link = _link(arp, view, "destination")
    if arp.number("operation") != 2 or link is None or not _usual(arp) or link.raw[0] & 1:
        return
    target = arp["target_hardware_address"]
    if target.raw != link.raw:
        says = f"the reply names {colons(target.raw)}, the frame goes to {colons(link.raw)}"
        yield at_all((link, target), target.raw.hex(), link.raw.hex(), says)


@rule(
    "arp-protocol-address",
    layer="arp",
    certainty="suspicious",
    source=rfc(1122, "3.2.1.3"),
    drops="source-destination-address",
    example=breaking(ARP, ((38, 42),), (38, "e0000001")),
)
def protocol_address(arp: Layer, view: View) -> Iterator[Breach]:
    """Nobody has a group, a loopback or the broadcast address, and nobody asks for one."""
    if not _usual(arp):
        return
    for name in ("sender_protocol_address", "target_protocol_address"):
        field = arp[name]
        first = field.raw[0]
        if 224 <= first <= 239 or first == 127 or field.raw == b"\xff" * 4:
            who = name.partition("_")[0]
            yield at(field, None, f"the {who}'s address is {dotted(field.raw)}")


@rule(
    "arp-link-local-unicast",
    layer="arp",
    certainty="unusual",
    source=rfc(3927, "2.5"),
    example=breaking(ARP_REPLY, ((0, 6), (28, 32)), (28, "a9fe0102")),
)
def link_local_unicast(arp: Layer, view: View) -> Iterator[Breach]:
    """Who has an address in 169.254/16 broadcasts ARP, replies too, so that conflicts are seen."""
    link = _link(arp, view, "destination")
    if link is None or link.raw[:1] == b"" or link.raw[0] & 1 or not _usual(arp):
        return
    sender = arp["sender_protocol_address"]
    if sender.raw[:2] == b"\xa9\xfe":
        says = f"sent by {dotted(sender.raw)} to one station, {colons(link.raw)}"
        yield at_all((link, sender), sender.raw.hex(), None, says)
