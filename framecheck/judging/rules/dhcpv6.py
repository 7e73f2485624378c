"""DHCP for IPv6: ports, options by message, and their lengths (RFC 8415, from memory)."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.span import Span
from framecheck.core.view import View
from framecheck.judging._examples import breaking, over_udp_ipv6
from framecheck.judging._measure import carrier, lacks
from framecheck.judging._tools import address, at, at_all, many, printed, there

_RELAYS = (12, 13)
_SHORTEST, _SHORTEST_RELAY = 4, 34
_LAST_TYPE = 36
_CLIENT, _SERVER = 546, 547
_TO_CLIENT = frozenset((2, 7, 10))
_TO_SERVER = frozenset((1, 3, 4, 5, 6, 8, 9, 11, 12, 13))
_MOST_HOPS = 32
_CLIENT_ID, _SERVER_ID, _RELAYED, _RECONFIGURE = 1, 2, 9, 19
_MUST = {
    1: (_CLIENT_ID,),
    2: (_CLIENT_ID, _SERVER_ID),
    3: (_CLIENT_ID, _SERVER_ID),
    4: (_CLIENT_ID,),
    5: (_CLIENT_ID, _SERVER_ID),
    6: (_CLIENT_ID,),
    7: (_SERVER_ID,),
    8: (_CLIENT_ID, _SERVER_ID),
    9: (_CLIENT_ID, _SERVER_ID),
    10: (_CLIENT_ID, _SERVER_ID, _RECONFIGURE),
    12: (_RELAYED,),
    13: (_RELAYED,),
}
"""Options that each message must carry (RFC 8415 16.2 to 16.14)."""
_MUST_NOT = {1: (_SERVER_ID,), 4: (_SERVER_ID,), 6: (_SERVER_ID,), 11: (3, 4, 25)}
_NAMES = {1: "client identifier", 2: "server identifier", 9: "relay message", 19: "reconfigure"}
_LENGTHS: dict[int, tuple[int, int]] = {
    **dict.fromkeys((1, 2), (3, 1)),
    **dict.fromkeys((3, 25), (12, 1)),
    **dict.fromkeys((4, 16, 17), (4, 1)),
    **dict.fromkeys((7, 19), (1, 0)),
    **dict.fromkeys((14, 20), (0, 0)),
    **dict.fromkeys((32, 82, 83), (4, 0)),
    **dict.fromkeys((23, 31), (16, 16)),
    5: (24, 1),
    6: (0, 2),
    8: (2, 0),
    11: (11, 1),
    12: (16, 0),
    13: (2, 1),
    26: (25, 1),
}
"""Least length, and the step by which it grows; step 0: exactly that length."""
_LONGEST_ID = 130
_HOLDS = {3: 12, 4: 4, 25: 12, 5: 24, 26: 25}
"""Options that hold options, and octets in front of the first of them."""
_DEEPEST = 3
_ALL_SERVERS = bytes.fromhex("ff020000000000000000000000010002")
_ID = "0001000a00030001" + "00005e005301"
_SERVES = "0002000a00030001" + "00005e005302"
_SOLICIT = over_udp_ipv6("01123456" + _ID, 546, 547, "ff020000000000000000000000010002")
_REPLY = over_udp_ipv6("07123456" + _ID + _SERVES, 547, 546)


@rule(
    "dhcpv6-incomplete",
    layer="dhcpv6",
    certainty="impossible",
    source=memory("RFC 8415", "8 and 9"),
    drops="application",
    example=breaking(over_udp_ipv6("0112", 546, 547), ((62, 64),)),
)
def incomplete(dhcpv6: Layer, view: View) -> Iterator[Breach]:
    """A message has at least 4 octets, one of a relay 34."""
    least = _SHORTEST_RELAY if dhcpv6.number("msg_type") in _RELAYS else _SHORTEST
    if dhcpv6.room < least and not lacks(view):
        says = f"{many(dhcpv6.room)}, the shortest message of its type has {least}"
        yield Breach((there(dhcpv6, view),), dhcpv6.room, least, says)


@rule(
    "dhcpv6-type-unknown",
    layer="dhcpv6",
    certainty="suspicious",
    source=memory("RFC 8415", "7.3"),
    drops="application",
    example=breaking(_SOLICIT, ((62, 63),), (62, "63")),
)
def type_unknown(dhcpv6: Layer, view: View) -> Iterator[Breach]:
    """The type is one that a standard names; any other is discarded."""
    number = dhcpv6.number("msg_type")
    if number is not None and not 1 <= number <= _LAST_TYPE:
        yield at(dhcpv6["msg_type"], None, f"message type {number} is named by no standard")


@rule(
    "dhcpv6-port",
    layer="dhcpv6",
    certainty="forbidden",
    source=memory("RFC 8415", "7.2"),
    drops="application",
    example=breaking(_REPLY, ((62, 63), (56, 58)), (62, "03")),
)
def port(dhcpv6: Layer, view: View) -> Iterator[Breach]:
    """What a client or a relay asks goes to port 547, what a server says to a client to 546."""
    kind, udp = dhcpv6.number("msg_type"), view.below(dhcpv6)
    to = udp.number("destination_port") if udp is not None and udp.kind == "udp" else None
    if kind is None or udp is None or to not in (_CLIENT, _SERVER):
        return
    wrong = _TO_CLIENT if to == _SERVER else _TO_SERVER
    # A relay may be asked to pass on to a port of its own choice; those of both ends are fixed.
    if kind in wrong and kind != 13:
        right = _SERVER if to == _CLIENT else _CLIENT
        fields = (dhcpv6["msg_type"], udp["destination_port"])
        yield at_all(fields, to, right, f"a message of type {kind} goes to port {to}")


@rule(
    "dhcpv6-option-length",
    layer="dhcpv6",
    certainty="impossible",
    source=memory("RFC 8415", "21.1"),
    drops="application",
    example=breaking(_SOLICIT, ((66, 80),), (69, "0b")),
)
def option_length(dhcpv6: Layer, view: View) -> Iterator[Breach]:
    """An option ends within its message; its length counts what stands behind code and length."""
    for option in dhcpv6.groups if not lacks(view) else ():
        if option.missing:
            length = option.length
            claims = length.number if length is not None and length.whole else None
            left = many((option.stop - option.start) // 8)
            says = f"option {option.code} claims {claims} octets of data, it has {left} in all"
            yield Breach((option.span,), claims, None, says)


@rule(
    "dhcpv6-option-size",
    layer="dhcpv6",
    certainty="impossible",
    source=memory("RFC 8415", "21.2 to 21.25"),
    lenient="common hosts, which ignore the option",
    example=breaking(over_udp_ipv6("01123456" + _ID + "000800010a", 546, 547), ((80, 85),)),
)
def option_size(dhcpv6: Layer, view: View) -> Iterator[Breach]:
    """Each kind of option has its own length.

    Elapsed time 2, preference 1, an association at least 12, an address 24, an identifier 3 to
    130.
    """
    for option in dhcpv6.groups:
        length = option.length.number if option.length is not None and option.whole else None
        if length is None or option.code not in _LENGTHS:
            continue
        least, step = _LENGTHS[option.code]
        fits = length >= least and (length == least if not step else (length - least) % step == 0)
        if option.code in (_CLIENT_ID, _SERVER_ID):
            fits = fits and length <= _LONGEST_ID
        if not fits:
            says = f"option {option.code} has {many(length)} of data, which it cannot have"
            yield Breach((option.span,), length, None, says)


def _complete(dhcpv6: Layer, view: View) -> bool:
    """Whether all options can be read, so that one that is absent was not sent."""
    return (
        not lacks(view)
        and dhcpv6.get("unparsed") is None
        and all(option.whole for option in dhcpv6.groups)
        and dhcpv6.room >= _SHORTEST
    )


@rule(
    "dhcpv6-option-missing",
    layer="dhcpv6",
    certainty="forbidden",
    source=memory("RFC 8415", "16.2 to 16.14"),
    drops="application",
    example=breaking(over_udp_ipv6("07123456" + _ID, 547, 546), ((62, 63),)),
)
def option_missing(dhcpv6: Layer, view: View) -> Iterator[Breach]:
    """A message carries what shows who sent it and whom it is for; else it is discarded.

    A client says its identifier in all but requests for settings, a server says its own.
    """
    kind = dhcpv6.number("msg_type")
    if kind not in _MUST or not _complete(dhcpv6, view):
        return
    codes = {option.code for option in dhcpv6.groups}
    lacking = [code for code in _MUST[kind] if code not in codes]
    if lacking:
        named = " and ".join(_NAMES[code] for code in lacking)
        yield at(dhcpv6["msg_type"], None, f"a message of type {kind} without {named}")


@rule(
    "dhcpv6-option-not-allowed",
    layer="dhcpv6",
    certainty="forbidden",
    source=memory("RFC 8415", "16.2, 16.5, 16.7, 16.12"),
    drops="application",
    example=breaking(over_udp_ipv6("01123456" + _ID + _SERVES, 546, 547), ((80, 94),)),
)
def option_not_allowed(dhcpv6: Layer, view: View) -> Iterator[Breach]:
    """What is for any server names none, and who asks for settings alone asks for no address."""
    kind = dhcpv6.number("msg_type")
    for option in dhcpv6.groups:
        if kind in _MUST_NOT and option.code in _MUST_NOT[kind]:
            says = f"option {option.code} in a message of type {kind}"
            yield Breach((option.span,), option.code, None, says)


@rule(
    "dhcpv6-hop-count",
    layer="dhcpv6",
    certainty="suspicious",
    source=memory("RFC 8415", "19.1.2"),
    drops="application",
    example=breaking(over_udp_ipv6("0c21" + "00" * 32 + "0009000401123456", 547, 547), ((63, 64),)),
)
def hop_count(dhcpv6: Layer, view: View) -> Iterator[Breach]:
    """No relay passes on what 32 relays (8 by the newer standard) have passed on already."""
    number = dhcpv6.number("hop_count")
    if number is not None and number > _MOST_HOPS:
        yield at(dhcpv6["hop_count"], _MOST_HOPS, f"{number} relays passed it on")


@rule(
    "dhcpv6-client-source",
    layer="dhcpv6",
    certainty="suspicious",
    source=memory("RFC 8415", "13.1 and 18.2"),
    lenient="common servers, which answer to where it came from",
    example=breaking(_SOLICIT, ((22, 38),), (22, "20010db8" + "00" * 11 + "77")),
)
def client_source(dhcpv6: Layer, view: View) -> Iterator[Breach]:
    """A client asks all servers from its link-local address."""
    udp = view.below(dhcpv6)
    ip = carrier(udp, view) if udp is not None else None
    source = address(ip, "source_address") if ip is not None else None
    target = address(ip, "destination_address") if ip is not None else None
    if ip is None or source is None or dhcpv6.number("msg_type") in (*_RELAYS, None):
        return
    if target == _ALL_SERVERS and source[:2] != b"\xfe\x80":
        yield at(ip["source_address"], None, f"a client asks all servers from {printed(source)}")


@rule(
    "dhcpv6-inner-option-length",
    layer="dhcpv6",
    certainty="impossible",
    source=memory("RFC 8415", "21.1, 21.4 to 21.6"),
    drops="application",
    example=breaking(
        over_udp_ipv6(
            "01123456" + _ID + "00030012" + "00000001" + "00" * 8 + "000d0009" + "0000", 546, 547
        ),
        ((80, 102),),
    ),
)
def inner_option_length(dhcpv6: Layer, view: View) -> Iterator[Breach]:
    """What an association or an address holds ends within it."""
    for option in dhcpv6.groups:
        data = b"" if option.missing else option.data
        if option.code in _HOLDS and not _fits(data[_HOLDS[option.code] :]):
            says = f"option {option.code} ends inside an option that it holds"
            yield Breach((option.span,), option.code, None, says)


def _fits(options: bytes, depth: int = 0) -> bool:
    """Whether options fill these octets, and those that they hold fill theirs."""
    at_ = 0
    while at_ < len(options):
        code = int.from_bytes(options[at_ : at_ + 2], "big")
        end = at_ + 4 + int.from_bytes(options[at_ + 2 : at_ + 4], "big")
        if end > len(options):
            return False
        inner = options[at_ + 4 : end]
        if code in _HOLDS and depth < _DEEPEST and not _fits(inner[_HOLDS[code] :], depth + 1):
            return False
        at_ = end
    return True


_ADDRESS = "20010db8" + "00" * 11 + "77"


@rule(
    "dhcpv6-times-order",
    layer="dhcpv6",
    certainty="forbidden",
    source=memory("RFC 8415", "21.4, 21.6"),
    lenient="common hosts, which ignore the address alone",
    example=breaking(
        over_udp_ipv6(
            "07123456" + _ID + _SERVES + "00030028"
            "00000001"
            "00000708"
            "00000c4e" + "00050018" + _ADDRESS + "00001c20"
            "00000e10",
            547,
            546,
        ),
        ((130, 138),),
    ),
)
def times_order(dhcpv6: Layer, view: View) -> Iterator[Breach]:
    """An address is preferred for no longer than it is valid, and renewed before it is rebound.

    A time of 0 leaves the choice to the client.
    """
    fields = dhcpv6.fields
    for first, then in pairwise(fields):
        if (first.name, then.name) not in (("preferred_lifetime", "valid_lifetime"), ("t1", "t2")):
            continue
        if not first.whole or not then.whole or first.number <= then.number:
            continue
        if first.name != "t1" or then.number:
            names = f"{first.name} is {first.number} s, {then.name} {then.number} s"
            span = Span(first.start, then.stop)
            yield Breach((span,), first.number, None, names.replace("_", " "))
