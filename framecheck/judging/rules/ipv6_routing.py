"""The IPv6 routing header (RFC 8200 4.4): its length, its type, its segments."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import ECHO_IPV6, TWO, breaking, over_ipv6
from framecheck.judging._extension import claimed, too_long
from framecheck.judging._tools import at

_ECHO = ECHO_IPV6[54:].hex()
_IN_USE = frozenset((2, 3, 4, 5, 6, 253, 254))
_WITH_ADDRESSES = (0, 2)


@rule(
    "ipv6-routing-length",
    layer="ipv6-routing",
    certainty="impossible",
    source=rfc(8200, "4.4"),
    drops="options",
    example=breaking(
        over_ipv6("3a00fd0000000000" + _ECHO, 43, 64), ((55, 56),), (55, "09"), resum=False
    ),
)
def length(header: Layer, view: View) -> Iterator[Breach]:
    """The header that its length claims is all in the payload.

    The length counts units of 8 octets, the first not counted.
    """
    yield from too_long(header, view)


@rule(
    "ipv6-routing-type-deprecated",
    layer="ipv6-routing",
    certainty="suspicious",
    source=memory("RFC 5095", "3"),
    lenient="the last host of the route, which ignores it",
    example=breaking(over_ipv6("3a02000000000000" + TWO + _ECHO, 43, 64), ((56, 57),)),
)
def type_deprecated(header: Layer, view: View) -> Iterator[Breach]:
    """A source route of type 0 is no longer sent: it let strangers bounce traffic."""
    if header.number("routing_type") == 0:
        yield at(header["routing_type"], None, "routing type 0 is deprecated")


@rule(
    "ipv6-routing-type-unknown",
    layer="ipv6-routing",
    certainty="suspicious",
    source=rfc(8200, "4.4"),
    drops="options",
    example=breaking(over_ipv6("3a00630100000000" + _ECHO, 43, 64), ((56, 57),)),
)
def type_unknown(header: Layer, view: View) -> Iterator[Breach]:
    """A host that does not know a routing type takes it only where no segment is left.

    Else it discards the datagram and answers with ICMPv6 4/0, which points at the type. Type 0
    is treated likewise (RFC 5095).
    """
    number = header.number("routing_type")
    if number is not None and number not in _IN_USE and header.number("segments_left"):
        yield at(header["routing_type"], None, f"routing type {number}, with segments left")


@rule(
    "ipv6-routing-segments",
    layer="ipv6-routing",
    certainty="forbidden",
    source=memory("RFC 2460", "4.4"),
    drops="options",
    lenient="small stacks, which do not count the addresses",
    example=breaking(over_ipv6("3a02020300000000" + TWO + _ECHO, 43, 64), ((57, 58),)),
)
def segments(header: Layer, view: View) -> Iterator[Breach]:
    """No more segments can be left than the header holds addresses (types 0 and 2)."""
    left, size = header.number("segments_left"), claimed(header)
    if left is None or size is None or header.number("routing_type") not in _WITH_ADDRESSES:
        return
    addresses = (size - 8) // 16
    if left > addresses and size <= header.room:
        says = f"{left} segments are left, the header holds {addresses} addresses"
        yield at(header["segments_left"], addresses, says)
