"""The IPv6 fragment header: lengths, and what a first fragment must hold (RFC 8200 4.5)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import ECHO_IPV6, UDP_IPV6, breaking, over_ipv6
from framecheck.judging._measure import carrier, claimed
from framecheck.judging._tools import at, at_all, many, span_of

_HEADER, _MOST_DATA = 8, 65535
_ECHO = ECHO_IPV6[54:].hex()
_LEAST = {"udp": 8, "tcp": 20, "icmpv6": 4}
"""Octets of each header that must not be parted."""


def _data(header: Layer, view: View) -> int | None:
    """Octets behind the fragment header, as the payload length says."""
    ip = carrier(header, view)
    total = claimed(ip) if ip is not None else None
    if ip is None or total is None:
        return None
    return total - (header.start - ip.start) // 8 - _HEADER


@rule(
    "ipv6-fragment-incomplete",
    layer="ipv6-fragment",
    certainty="impossible",
    source=rfc(8200, "4.5"),
    drops="options",
    example=breaking(over_ipv6("3a00000100", 44, 64), ((54, 59),)),
)
def incomplete(header: Layer, view: View) -> Iterator[Breach]:
    """A fragment header has 8 octets."""
    if header.room < _HEADER and not view.cut:
        says = f"{many(header.room)}, a fragment header has {_HEADER}"
        yield Breach((span_of(header),), header.room, _HEADER, says)


@rule(
    "ipv6-fragment-reserved-bits",
    layer="ipv6-fragment",
    certainty="suspicious",
    source=rfc(8200, "4.5"),
    lenient="all hosts: the bits are ignored when received",
    example=breaking(over_ipv6("3a01000000000001" + _ECHO, 44, 64), ((55, 56),)),
)
def reserved_bits(header: Layer, view: View) -> Iterator[Breach]:
    """The reserved octet and the two reserved bits are zero when sent."""
    for name in ("reserved", "res"):
        if header.number(name):
            yield at(header[name], 0, f"the reserved bits are {header.number(name):x}")


@rule(
    "ipv6-fragment-length",
    layer="ipv6-fragment",
    certainty="impossible",
    source=rfc(8200, "4.5"),
    drops="reassembly",
    example=breaking(
        over_ipv6("3a00000100000001" + _ECHO, 44, 64), ((18, 20), (57, 58)), resum=False
    ),
)
def fragment_length(header: Layer, view: View) -> Iterator[Breach]:
    """The data of every fragment but the last is a multiple of 8 octets.

    A host discards it and answers with ICMPv6 4/0, which points at the payload length.
    """
    data, ip = _data(header, view), carrier(header, view)
    if ip is not None and data is not None and data % 8 and header.number("more_fragments"):
        says = f"more fragments follow {data} octets of data, which is no multiple of 8"
        yield at_all((ip["payload_length"], header["more_fragments"]), data, None, says)


@rule(
    "ipv6-fragment-beyond-end",
    layer="ipv6-fragment",
    certainty="impossible",
    source=rfc(8200, "4.5"),
    drops="reassembly",
    example=breaking(over_ipv6("3a00fff800000001" + _ECHO, 44, 64), ((18, 20), (56, 58))),
)
def beyond_end(header: Layer, view: View) -> Iterator[Breach]:
    """A fragment ends within the largest payload there is, 65535 octets.

    A host discards it and answers with ICMPv6 4/0, which points at the fragment offset.
    """
    data, offset, ip = _data(header, view), header.number("fragment_offset"), carrier(header, view)
    if ip is None or data is None or not offset:
        return
    end = offset * 8 + max(0, data)
    if end > _MOST_DATA:
        says = f"the fragment ends at octet {end} of the data, at most {_MOST_DATA} can be"
        yield at_all((ip["payload_length"], header["fragment_offset"]), end, _MOST_DATA, says)


@rule(
    "ipv6-fragment-of-nothing",
    layer="ipv6-fragment",
    certainty="unusual",
    source=memory("RFC 8021", "2"),
    example=breaking(over_ipv6("3a00000000000001" + _ECHO, 44, 64), ((56, 58),)),
)
def of_nothing(header: Layer, view: View) -> Iterator[Breach]:
    """A fragment header without more fragments and without an offset parts nothing.

    Translators from IPv4 send such, and a host takes it for the whole datagram that it is.
    """
    if header.number("fragment_offset") == 0 and header.number("more_fragments") == 0:
        span = header["fragment_offset"].span._replace(stop=header["more_fragments"].stop)
        yield Breach((span,), 0, None, "a fragment header on a datagram in one piece")


@rule(
    "ipv6-fragment-first-too-short",
    layer="ipv6-fragment",
    certainty="forbidden",
    source=rfc(8200, "4.5"),
    drops="reassembly",
    lenient="hosts that wait for the rest",
    example=breaking(over_ipv6("0600000100000001" + UDP_IPV6[54:62].hex(), 44, 64), ((62, 70),)),
)
def first_too_short(header: Layer, view: View) -> Iterator[Breach]:
    """The first fragment holds every header, that of the transport included.

    What filters must see it; a host discards a shorter one, and may answer with ICMPv6 4/3.
    """
    above = view.above(header)
    first = header.number("fragment_offset") == 0 and header.number("more_fragments") == 1
    if above is None or not first or view.cut:
        return
    least = _LEAST.get(above.kind)
    if least is not None and above.room < least:
        says = f"the first fragment ends {above.room} octets into a header of {least}"
        yield Breach((span_of(above),), above.room, least, says)
