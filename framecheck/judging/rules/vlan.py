"""VLAN tags (IEEE 802.1Q)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, practice, rule
from framecheck.core.layer import Layer
from framecheck.core.span import Span
from framecheck.core.view import View
from framecheck.judging._examples import ARP, breaking
from framecheck.judging._tools import at, at_all
from framecheck.judging._types import length_beyond, undefined_type

_CUSTOMER = 0x8100
_MOST_TAGS = 4


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
    further = view.below(below) if below is not None and below.kind == "vlan" else None
    if further is not None and further.number("type") == _CUSTOMER:
        return  # said of the tag before
    if outer is not None and inner is not None and outer.value == inner.value == _CUSTOMER:
        yield at_all((outer, inner), _CUSTOMER, 0x88A8, "a tag of type 8100 in another")


@rule(
    "vlan-tags-many",
    layer="vlan",
    certainty="suspicious",
    source=practice("bridges nest two tags, seldom more"),
    example=breaking(ARP, ((12, 32),), (12, "81000064" * 5 + ARP[12:].hex())),
)
def tags_many(vlan: Layer, view: View) -> Iterator[Breach]:
    """A frame has a few tags at the most, one for each network that it passes through.

    Four octets that come again and again are a transfer that repeats a word, or somebody who wants
    to hide what stands behind them.
    """
    below = view.below(vlan)
    if below is None or below.kind == "vlan":
        return
    found = [x for x in view.layers if x.kind == "vlan"]
    if len(found) > _MOST_TAGS:
        # A tag's own type stands in front of it.
        span = Span(vlan.start - 16, found[-1].stop - 16)
        says = f"{len(found)} tags in a row, more than {_MOST_TAGS} are rare"
        yield Breach((span,), len(found), None, says)


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
