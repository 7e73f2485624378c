"""ICMPv6: lengths, types, codes, and what an error quotes (RFC 4443, from memory)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import ALL_NODES, ECHO_IPV6, UDP_IPV6, breaking, over_ipv6
from framecheck.judging._icmpv6 import ERRORS, LEAST, NEIGHBOR
from framecheck.judging._measure import carrier, claimed, lacks
from framecheck.judging._shapes import too_few
from framecheck.judging._tools import address, at, printed, there

_HEADER = 8
_QUOTED = 40
_SMALLEST_MTU = 1280
_MOST_CODE = {1: 8, 2: 0, 3: 1, 4: 11, 128: 0, 129: 0, 130: 0, 131: 0, 132: 0, 143: 0}
"""Largest code of each type; those of neighbor discovery have a rule of their own."""
_KNOWN = frozenset((1, 2, 3, 4, 100, 101, 200, 201)) | frozenset(range(128, 162))
_ERROR = "0104000000000000"


@rule(
    "icmpv6-incomplete",
    layer="icmpv6",
    certainty="impossible",
    source=memory("RFC 4443", "2.1 to 4.2"),
    drops="transport-length",
    example=breaking(over_ipv6("8000000012"), ((54, 59),)),
)
def incomplete(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """A message has at least 4 octets, errors and echoes 8, those about listeners 8 or 24."""
    kind = icmpv6.number("type")
    if kind not in NEIGHBOR:
        least = LEAST.get(kind, 4) if kind is not None else 4
        yield from too_few(icmpv6, view, least, f"a message of type {kind} has at least")


@rule(
    "icmpv6-type-unknown",
    layer="icmpv6",
    certainty="suspicious",
    source=memory("RFC 4443", "2.4"),
    drops="application",
    example=breaking(ECHO_IPV6, ((54, 55),), (54, "c3")),
)
def type_unknown(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """The type is one that a standard names; a host silently discards any other above 127."""
    number = icmpv6.number("type")
    if number is not None and number not in _KNOWN:
        yield at(icmpv6["type"], None, f"type {number} is named by no standard")


@rule(
    "icmpv6-code-unknown",
    layer="icmpv6",
    certainty="suspicious",
    source=memory("RFC 4443", "3 and 4"),
    lenient="common hosts answer an echo request whatever its code",
    example=breaking(ECHO_IPV6, ((55, 56),), (55, "01")),
)
def code_unknown(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """The code is one that the type has."""
    kind, code = icmpv6.number("type"), icmpv6.number("code")
    if kind is None or code is None or code <= _MOST_CODE.get(kind, 255):
        return
    yield at(icmpv6["code"], None, f"type {kind} has no code {code}")


@rule(
    "icmpv6-quote-too-short",
    layer="icmpv6",
    certainty="suspicious",
    source=memory("RFC 4443", "2.4"),
    drops="application",
    example=breaking(over_ipv6(_ERROR + UDP_IPV6[14:34].hex()), ((62, 82),)),
)
def quote_too_short(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """An error quotes as much of the datagram as fits, at least its header of 40 octets.

    Without it the host does not know whom to tell, and discards the message.
    """
    if icmpv6.number("type") not in ERRORS or lacks(view):
        return
    quoted = icmpv6.room - _HEADER
    if 0 <= quoted < _QUOTED:
        span = there(icmpv6, view)
        if quoted:
            span = span._replace(start=span.start + _HEADER * 8)
        says = f"{quoted} octets are quoted, at least {_QUOTED} must be"
        yield Breach((span,), quoted, _QUOTED, says)


@rule(
    "icmpv6-error-too-long",
    layer="icmpv6",
    certainty="forbidden",
    source=memory("RFC 4443", "2.4 (c)"),
    lenient="all hosts",
    example=breaking(over_ipv6(_ERROR + UDP_IPV6[14:].hex() + "00" * 1200), ((18, 20),)),
)
def error_too_long(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """An error is cut so that its datagram has at most 1280 octets, which every link carries."""
    ip = carrier(icmpv6, view)
    total = claimed(ip) if ip is not None else None
    if ip is None or total is None or icmpv6.number("type") not in ERRORS:
        return
    if total > _SMALLEST_MTU:
        says = f"the error has {total} octets, at most {_SMALLEST_MTU} can be"
        yield at(ip["payload_length"], _SMALLEST_MTU - _QUOTED, says)


@rule(
    "icmpv6-error-about-error",
    layer="icmpv6",
    certainty="forbidden",
    source=memory("RFC 4443", "2.4 (e)"),
    example=breaking(
        over_ipv6(_ERROR + over_ipv6(_ERROR + UDP_IPV6[14:].hex())[14:].hex()), ((102, 103),)
    ),
)
def error_about_error(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """No error is sent about an error, nor about a redirect."""
    if icmpv6.number("type") not in ERRORS:
        return
    quoted = next((x for x in view.layers if x.quoted and x.kind == "icmpv6"), None)
    kind = quoted.number("type") if quoted is not None else None
    if quoted is not None and kind is not None and (kind < 128 or kind == 137):
        yield at(quoted["type"], None, f"the error is about a message of type {kind}")


@rule(
    "icmpv6-error-to-group",
    layer="icmpv6",
    certainty="forbidden",
    source=memory("RFC 4443", "2.4 (e)"),
    example=breaking(over_ipv6(_ERROR + UDP_IPV6[14:].hex(), target=ALL_NODES), ((38, 54),)),
)
def error_to_group(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """An error goes to the one host that sent what it is about, never to a group."""
    ip = carrier(icmpv6, view)
    target = address(ip, "destination_address") if ip is not None else None
    if ip is None or target is None or icmpv6.number("type") not in ERRORS or target[0] != 0xFF:
        return
    yield at(ip["destination_address"], None, f"an error goes to the group {printed(target)}")


@rule(
    "icmpv6-packet-too-big-mtu",
    layer="icmpv6",
    certainty="suspicious",
    source=memory("RFC 8201", "4"),
    drops="application",
    example=breaking(over_ipv6("02000000000004ff" + UDP_IPV6[14:].hex()), ((58, 62),)),
)
def packet_too_big_mtu(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """Every link carries 1280 octets: a host ignores a message that names fewer."""
    mtu = icmpv6.number("mtu")
    if icmpv6.number("type") == 2 and mtu is not None and mtu < _SMALLEST_MTU:
        yield at(icmpv6["mtu"], None, f"{mtu} octets would have passed, every link carries 1280")
