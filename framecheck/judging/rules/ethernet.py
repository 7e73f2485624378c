"""Ethernet: the source address, and the two octets that are a type or a length."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, practice, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import ARP, UDP, breaking
from framecheck.judging._tools import at, at_all, colons, in_loopback
from framecheck.judging._types import length_beyond, undefined_type

_SWAPPED = {0x0008: 0x0800, 0x0608: 0x0806, 0xDD86: 0x86DD, 0x0081: 0x8100}


@rule(
    "ethernet-type-undefined",
    layer="ethernet",
    certainty="impossible",
    source=memory("IEEE 802.3", "3.2.6"),
    drops="ethertype-demux",
    example=breaking(UDP, ((12, 14),), (12, "05ff")),
)
def type_undefined(ethernet: Layer, view: View) -> Iterator[Breach]:
    """A number from 1501 to 1535 is neither a length nor a type.

    RFC 1122 2.3.3 says the same of lengths up to 1500 and types above. A host drops the frame
    without counting anything.
    """
    yield from undefined_type(ethernet)


@rule(
    "ethernet-type-byte-swapped",
    layer="ethernet",
    certainty="suspicious",
    source=practice("arithmetic on known types"),
    drops="ethertype-demux",
    example=breaking(ARP, ((12, 14),), (12, "0608")),
)
def type_swapped(ethernet: Layer, view: View) -> Iterator[Breach]:
    """The type is a well-known one with its two octets exchanged.

    0008 and 0081 then read as lengths, 0608 and dd86 as types that nobody knows. Either this
    one field is wrong, or a 16-bit bus or register exchanges the octets of every word.
    """
    field = ethernet.get("type") or ethernet.get("length")
    if field is None or field.value not in _SWAPPED:
        return
    known = _SWAPPED[field.number]
    if field.name == "length" and not _begins_as(view.octets[14:], known):
        return
    says = f"{field.number:04x} is {known:04x} with its octets exchanged"
    yield at(field, known, says)


def _begins_as(octets: bytes, kind: int) -> bool:
    """Whether the octets begin as the type says they would, in either octet order."""
    if kind == 0x0800:
        return octets[:1] == b"\x45" or octets[1:2] == b"\x45"
    inner = int.from_bytes(octets[2:4], "big")
    return inner in (0x0800, 0x0806, 0x86DD) or inner in _SWAPPED


@rule(
    "ethernet-length-beyond-frame",
    layer="ethernet",
    certainty="impossible",
    source=memory("IEEE 802.3", "3.2.7"),
    drops="ethertype-demux",
    example=breaking(ARP, ((12, 14),), (12, "0040aaaa030000000806"), resum=False),
)
def length_beyond_frame(ethernet: Layer, view: View) -> Iterator[Breach]:
    """A length must not exceed the octets behind it; what is left over is padding.

    A larger one means that the frame was cut, or that the length is damaged.
    """
    yield from length_beyond(ethernet, view)


@rule(
    "ethernet-source-group",
    layer="ethernet",
    certainty="impossible",
    source=memory("IEEE 802.3", "3.2.3"),
    example=breaking(UDP, ((6, 12),), (6, "01")),
    lenient="end hosts, which do not look; bridges drop it",
)
def source_group(ethernet: Layer, view: View) -> Iterator[Breach]:
    """A source address is one station's: its group bit (the lowest of its first octet) is zero."""
    field = ethernet.get("source")
    if field is not None and field.whole and field.raw[0] & 1:
        yield at(field, None, f"the source {colons(field.raw)} is a group address")


@rule(
    "ethernet-source-zero",
    layer="ethernet",
    certainty="suspicious",
    source=practice("an address register that was never written"),
    example=breaking(UDP, ((6, 12),), (6, "000000000000")),
)
def source_zero(ethernet: Layer, view: View) -> Iterator[Breach]:
    """A source address of zeros is that of a controller whose address was never set.

    On a loopback device both addresses are zero; that is left alone.
    """
    field = ethernet.get("source")
    if field is not None and field.whole and not any(field.raw) and not in_loopback(view):
        yield at(field, None, "the source address is all zeros")


@rule(
    "ethernet-source-destination-same",
    layer="ethernet",
    certainty="suspicious",
    source=practice("a frame that comes from where it goes"),
    example=breaking(UDP, ((0, 6), (6, 12)), (6, "00005e005302")),
)
def source_destination_same(ethernet: Layer, view: View) -> Iterator[Breach]:
    """Source and destination are one address: a loopback test, or an address copied wrongly."""
    if not ethernet.whole("destination", "source") or in_loopback(view):
        return
    destination, source = ethernet["destination"], ethernet["source"]
    if destination.raw == source.raw and not source.raw[0] & 1:
        says = f"source and destination are both {colons(source.raw)}"
        yield at_all((destination, source), source.raw.hex(), None, says)


@rule(
    "ethernet-pause-frame",
    layer="ethernet",
    certainty="unusual",
    source=memory("IEEE 802.3", "annex 31B"),
    example=breaking(
        UDP, ((12, 14),), (0, "0180c2000001"), (12, "88080001ffff" + "00" * 42), resum=False
    ),
)
def pause_frame(ethernet: Layer, view: View) -> Iterator[Breach]:
    """A pause frame belongs to the MAC, which should not hand it to software."""
    if ethernet.number("type") == 0x8808:
        yield at(ethernet["type"], None, "type 8808 is MAC control, a pause frame")


@rule(
    "ethernet-type-trailer",
    layer="ethernet",
    certainty="suspicious",
    source=rfc(1122, "2.3.1"),
    example=breaking(UDP, ((12, 14),), (12, "1001")),
)
def type_trailer(ethernet: Layer, view: View) -> Iterator[Breach]:
    """Types 1000 to 100f announce headers that stand behind the data; nobody sends them today.

    The range is from memory (RFC 893).
    """
    number = ethernet.number("type")
    if number is not None and 0x1000 <= number <= 0x100F:
        yield at(ethernet["type"], None, f"type {number:04x} is the trailer encapsulation")
