"""Options of neighbor discovery: their lengths, link-layer addresses, prefixes (RFC 4861 4.6)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, practice, rfc, rule
from framecheck.core.layer import Field, Group, Layer
from framecheck.core.view import View
from framecheck.judging._examples import ROUTER, SOLICITATION, breaking
from framecheck.judging._icmpv6 import (
    ADVERTISEMENT,
    MTU,
    PREFIX,
    SOURCE_LINK,
    TARGET_LINK,
    is_link_local,
    is_neighbor,
    options,
)
from framecheck.judging._tools import at, at_all, colons, many

_SIZES: dict[int, tuple[int, ...]] = {
    SOURCE_LINK: (1,),
    TARGET_LINK: (1,),
    PREFIX: (4,),
    MTU: (1,),
    24: (1, 2, 3),
}
"""Units of 8 octets that options can have on Ethernet; route information from memory (RFC 4191)."""
_SERVERS = 25
_LONGEST_REACHABLE = 3_600_000
_SMALLEST_MTU = 1280


@rule(
    "icmpv6-option-length",
    layer="icmpv6",
    certainty="impossible",
    source=rfc(4861, "6.1.1, 6.1.2, 7.1.1, 7.1.2, 8.1"),
    drops="application",
    lenient="small stacks, which answer and leave the options unread",
    example=breaking(SOLICITATION, ((78, 80),), (79, "00")),
)
def option_length(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """An option's length counts units of 8 octets, is not 0, and ends within the message.

    A host silently discards the whole message, so that no loop over the options can go on for ever.
    """
    for option in icmpv6.groups if is_neighbor(icmpv6) and not view.cut else ():
        length = option.length.number if option.length is not None and option.length.whole else None
        if option.missing or not length:
            claims = "no length" if length is None else f"a length of {length * 8} octets"
            left = many((icmpv6.limit - option.start) // 8)
            says = f"option {option.code} has {claims}, {left} are left"
            yield Breach((option.span,), length, None, says)


@rule(
    "icmpv6-option-size",
    layer="icmpv6",
    certainty="impossible",
    source=rfc(4861, "4.6"),
    lenient="common hosts, which ignore the option",
    example=breaking(ROUTER, ((78, 102),), (79, "03"), (102, "fd01000000000000")),
)
def option_size(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """Each kind of option has its own length.

    On Ethernet 8 octets for a link-layer address and the MTU, 32 for a prefix; name servers have an
    odd number of units, 3 or more (RFC 8106, from memory).
    """
    for option in options(icmpv6):
        units = option.length.number if option.length is not None else 0
        fits = units in _SIZES.get(option.code, (units,))
        if option.code == _SERVERS:
            fits = units >= 3 and units % 2 == 1
        if not fits and not option.missing:
            says = f"option {option.code} has {units * 8} octets, which it cannot have"
            yield Breach((option.span,), units, None, says)


def _link_addresses(icmpv6: Layer) -> Iterator[tuple[Group, Field]]:
    for option in options(icmpv6):
        value = option.value
        spoken = option.code in (SOURCE_LINK, TARGET_LINK)
        if spoken and value is not None and len(value.raw) == value.wanted // 8 == 6:
            yield option, value


@rule(
    "icmpv6-link-address-group",
    layer="icmpv6",
    certainty="impossible",
    source=memory("IEEE 802.3", "3.2.3"),
    lenient="common hosts, which remember it regardless",
    example=breaking(SOLICITATION, ((80, 86),), (80, "01")),
)
def link_address_group(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """A link-layer address is one station's: its group bit is zero."""
    for _, value in _link_addresses(icmpv6):
        if value.raw[0] & 1:
            yield at(value, None, f"the link-layer address {colons(value.raw)} is a group's")


@rule(
    "icmpv6-link-address-not-frame-source",
    layer="icmpv6",
    certainty="suspicious",
    source=practice("RFC 4861 has no such rule"),
    lenient="common hosts, which do not compare them",
    example=breaking(SOLICITATION, ((6, 12), (80, 86)), (80, "00005e005309")),
)
def link_address_not_frame_source(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """The link-layer address that the sender says is where the frame came from."""
    link = view.find("ethernet")
    source = link.get("source") if link is not None else None
    for option, value in _link_addresses(icmpv6):
        own = option.code == SOURCE_LINK or icmpv6.number("type") == ADVERTISEMENT
        if source is not None and own and value.raw != source.raw and not value.raw[0] & 1:
            says = f"{colons(value.raw)} is said, the frame comes from {colons(source.raw)}"
            yield at_all((source, value), value.raw.hex(), source.raw.hex(), says)


def _prefixes(icmpv6: Layer) -> Iterator[Group]:
    for option in options(icmpv6):
        if option.code == PREFIX and option.whole and option.get("prefix") is not None:
            yield option


@rule(
    "icmpv6-prefix-length",
    layer="icmpv6",
    certainty="impossible",
    source=rfc(4861, "4.6.2"),
    lenient="common hosts, which ignore the prefix",
    example=breaking(ROUTER, ((80, 81),), (80, "81")),
)
def prefix_length(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """A prefix has at most 128 bits."""
    for option in _prefixes(icmpv6):
        field = option.get("prefix_length")
        if field is not None and field.number > 128:
            yield at(field, None, f"the prefix has {field.number} bits, at most 128 can be")


@rule(
    "icmpv6-prefix-lifetimes",
    layer="icmpv6",
    certainty="suspicious",
    source=memory("RFC 4862", "5.5.3 (c)"),
    lenient="all hosts: they ignore the prefix and take the rest",
    example=breaking(ROUTER, ((82, 90),), (86, "00278d01")),
)
def prefix_lifetimes(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """An address is preferred for no longer than it is valid."""
    for option in _prefixes(icmpv6):
        valid, preferred = option.get("valid_lifetime"), option.get("preferred_lifetime")
        if valid is not None and preferred is not None and preferred.number > valid.number:
            span = valid.span._replace(stop=preferred.stop)
            says = f"preferred for {preferred.number} s, valid for {valid.number} s"
            yield Breach((span,), preferred.number, None, says)


@rule(
    "icmpv6-prefix-not-a-prefix",
    layer="icmpv6",
    certainty="suspicious",
    source=rfc(4861, "4.6.2"),
    lenient="all hosts: they ignore the prefix and take the rest",
    example=breaking(ROUTER, ((94, 110),), (94, "fe80")),
)
def not_a_prefix(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """Nobody advertises the link-local prefix, nor that of groups."""
    for option in _prefixes(icmpv6):
        field = option.get("prefix")
        if field is not None and (field.raw[0] == 0xFF or is_link_local(field.raw)):
            yield at(field, None, f"the prefix is {field.raw[:2].hex()}, link-local or a group's")


@rule(
    "icmpv6-router-mtu",
    layer="icmpv6",
    certainty="suspicious",
    source=rfc(8200, "5"),
    lenient="all hosts: they ignore the option",
    example=breaking(ROUTER, ((74, 78),), (70, "0501000000000400")),
)
def router_mtu(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """Every link carries 1280 octets; no router advertises fewer."""
    for option in options(icmpv6):
        field = option.get("mtu")
        whole = option.code == MTU and field is not None and field.whole
        if whole and field is not None and field.number < _SMALLEST_MTU:
            yield at(field, None, f"the link is said to carry {field.number} octets")


@rule(
    "icmpv6-router-reachable-time",
    layer="icmpv6",
    certainty="forbidden",
    source=rfc(4861, "6.2.1"),
    lenient="common hosts, which take what they are told",
    example=breaking(ROUTER, ((62, 66),), (62, "0036ee81")),
)
def reachable_time(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """A router says at most an hour, 3600000 milliseconds, for which neighbors are reachable."""
    number = icmpv6.number("reachable_time")
    if number is not None and number > _LONGEST_REACHABLE:
        says = f"the reachable time is {number} ms, at most {_LONGEST_REACHABLE} can be"
        yield at(icmpv6["reachable_time"], _LONGEST_REACHABLE, says)
