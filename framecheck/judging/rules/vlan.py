"""VLAN tags (IEEE 802.1Q)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import ARP, breaking
from framecheck.judging._tools import at, at_all
from framecheck.judging._types import length_beyond, undefined_type

_CUSTOMER = 0x8100


@rule(
    "vlan-identifier-reserved",
    layer="vlan",
    certainty="forbidden",
    source=memory("IEEE 802.1Q", "9.6"),
    drops="ethertype-demux",
    example=breaking(ARP, ((14, 16),), (12, "81000fff" + ARP[12:].hex())),
)
def identifier_reserved(vlan: Layer, view: View) -> Iterator[Breach]:
    """VLAN identifier fff is reserved and never on a wire.

    0 is a priority without a VLAN, 1 the usual default.
    """
    if vlan.number("vlan_identifier") == 0xFFF:
        yield at(vlan["vlan_identifier"], None, "the VLAN identifier is fff")


@rule(
    "vlan-customer-tag-inside-another",
    layer="vlan",
    certainty="unusual",
    source=memory("IEEE 802.1Q", "9.5"),
    example=breaking(ARP, ((12, 14), (16, 18)), (12, "8100006481000065" + ARP[12:].hex())),
)
def customer_tag_inside_another(vlan: Layer, view: View) -> Iterator[Breach]:
    """The outer of two tags is a service tag, type 88a8; older bridges use 8100 for both."""
    below = view.below(vlan)
    outer = below.get("type") if below is not None else None
    inner = vlan.get("type")
    if outer is not None and inner is not None and outer.value == inner.value == _CUSTOMER:
        yield at_all((outer, inner), _CUSTOMER, 0x88A8, "a tag of type 8100 in another")


@rule(
    "vlan-length-beyond-frame",
    layer="vlan",
    certainty="impossible",
    source=memory("IEEE 802.3", "3.2.7"),
    drops="ethertype-demux",
    example=breaking(ARP, ((16, 18),), (12, "810000640050aaaa030000000806"), resum=False),
)
def length_beyond_frame(vlan: Layer, view: View) -> Iterator[Breach]:
    """A length behind a tag must not exceed the octets behind it."""
    yield from length_beyond(vlan, view)


@rule(
    "vlan-type-undefined",
    layer="vlan",
    certainty="impossible",
    source=memory("IEEE 802.3", "3.2.6"),
    drops="ethertype-demux",
    example=breaking(ARP, ((16, 18),), (12, "8100006405ff" + ARP[14:].hex())),
)
def type_undefined(vlan: Layer, view: View) -> Iterator[Breach]:
    """Behind a tag, too, a number from 1501 to 1535 is neither a length nor a type."""
    yield from undefined_type(vlan)
