"""ARP: its two types, its two lengths, its operation (RFC 826)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import ARP, breaking
from framecheck.judging._shapes import too_few
from framecheck.judging._tools import at

_PACKET = 28
# RFC 5494 (from memory): above 25 nothing is assigned.
_LAST_OPERATION = 25


@rule(
    "arp-incomplete",
    layer="arp",
    certainty="impossible",
    source=rfc(826, "Packet format"),
    drops="application",
    example=breaking(ARP, ((14, 40),), stop=40),
)
def incomplete(arp: Layer, view: View) -> Iterator[Breach]:
    """An ARP packet for Ethernet and IPv4 has 28 octets."""
    yield from too_few(arp, view, _PACKET, "an ARP packet has")


@rule(
    "arp-hardware-type",
    layer="arp",
    certainty="suspicious",
    source=rfc(826, "Generalization"),
    drops="application",
    lenient="common hosts also take 6, IEEE 802",
    example=breaking(ARP, ((14, 16),), (14, "0100")),
)
def hardware_type(arp: Layer, view: View) -> Iterator[Breach]:
    """The hardware type of Ethernet is 1.

    0100 is 1 with its octets exchanged: then look whether every 16-bit word is.
    """
    number = arp.number("hardware_type")
    if number is not None and number != 1:
        yield at(arp["hardware_type"], 1, f"the hardware type is {number}, Ethernet's is 1")


@rule(
    "arp-protocol-type",
    layer="arp",
    certainty="impossible",
    source=rfc(826, "Packet format"),
    drops="application",
    example=breaking(ARP, ((16, 18),), (16, "0008")),
)
def protocol_type(arp: Layer, view: View) -> Iterator[Breach]:
    """The protocol type for IPv4 is 0800."""
    number = arp.number("protocol_type")
    if number is not None and number != 0x0800:
        yield at(arp["protocol_type"], 0x0800, f"the protocol type is {number:04x}, not 0800")


@rule(
    "arp-hardware-length",
    layer="arp",
    certainty="impossible",
    source=rfc(826, "Packet Reception"),
    drops="application",
    example=breaking(ARP, ((18, 19),), (18, "07")),
)
def hardware_length(arp: Layer, view: View) -> Iterator[Breach]:
    """An Ethernet address has 6 octets.

    A wrong length moves everything behind it, so that the addresses read wrong as well.
    """
    number = arp.number("hardware_length")
    if number is not None and number != 6:
        yield at(arp["hardware_length"], 6, f"the hardware length is {number}, Ethernet's is 6")


@rule(
    "arp-protocol-length",
    layer="arp",
    certainty="impossible",
    source=rfc(826, "Packet Reception"),
    drops="application",
    example=breaking(ARP, ((19, 20),), (19, "05")),
)
def protocol_length(arp: Layer, view: View) -> Iterator[Breach]:
    """An IPv4 address has 4 octets."""
    number = arp.number("protocol_length")
    if number is not None and number != 4:
        yield at(arp["protocol_length"], 4, f"the protocol length is {number}, IPv4's is 4")


@rule(
    "arp-operation-reserved",
    layer="arp",
    certainty="forbidden",
    source=memory("RFC 5494", "3"),
    drops="application",
    lenient="hosts that note the sender before they look at the operation, as RFC 826 has it",
    example=breaking(ARP, ((20, 22),), (20, "0000")),
)
def operation_reserved(arp: Layer, view: View) -> Iterator[Breach]:
    """Operation 0 is reserved."""
    if arp.number("operation") == 0:
        yield at(arp["operation"], None, "the operation is 0, which is reserved")


@rule(
    "arp-operation-unknown",
    layer="arp",
    certainty="suspicious",
    source=rfc(826, "Packet format"),
    drops="application",
    lenient="hosts that note the sender before they look at the operation, as RFC 826 has it",
    example=breaking(ARP, ((20, 22),), (20, "0100")),
)
def operation_unknown(arp: Layer, view: View) -> Iterator[Breach]:
    """1 asks and 2 answers; nothing above 25 is assigned.

    0100 and 0200 are 1 and 2 with their octets exchanged.
    """
    number = arp.number("operation")
    if number is not None and number > _LAST_OPERATION:
        swapped = number >> 8 if number in (0x0100, 0x0200) else None
        more = f": {swapped} with its octets exchanged" if swapped else ""
        yield at(arp["operation"], swapped, f"the operation is {number:04x}{more}")
