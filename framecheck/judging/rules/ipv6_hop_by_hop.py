"""IPv6 hop-by-hop options (RFC 8200 4.3): length and options, and where they stand."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import ECHO_IPV6, breaking, over_ipv6
from framecheck.judging._extension import example_with, option_rules, options
from framecheck.judging._tools import at

_JUMBO = 0xC2
_ECHO = ECHO_IPV6[54:].hex()

length, option_length, option_size, option_unknown, option_padding, padding_long = option_rules(
    "ipv6-hop-by-hop", 0, "4.3"
)


@rule(
    "ipv6-hop-by-hop-not-first",
    layer="ipv6-hop-by-hop",
    certainty="impossible",
    source=rfc(8200, "4.1"),
    drops="options",
    example=breaking(
        over_ipv6("0000010400000000" + "3a00010400000000" + _ECHO, 60, 64), ((54, 55),)
    ),
)
def not_first(header: Layer, view: View) -> Iterator[Breach]:
    """Hop-by-hop options stand right behind the IPv6 header and nowhere else.

    A host answers a 0 in any other next header field with ICMPv6 4/1. Of several such headers the
    first is named: the others are never reached.
    """
    below = view.below(header)
    field = below.get("next_header") if below is not None and below.kind != "ipv6" else None
    others = [x for x in view.layers if x.kind == header.kind and x.start < header.start]
    said = any((y := view.below(x)) is not None and y.kind != "ipv6" for x in others)
    if field is not None and not said:
        yield at(field, None, "hop-by-hop options are announced by another extension header")


@rule(
    "ipv6-hop-by-hop-jumbo-length",
    layer="ipv6-hop-by-hop",
    certainty="forbidden",
    source=memory("RFC 2675", "3"),
    drops="options",
    lenient="small stacks, which step over all options",
    example=breaking(example_with(0, "c2040000ffff"), ((56, 62),)),
)
def jumbo_length(header: Layer, view: View) -> Iterator[Breach]:
    """A jumbo payload has more than 65535 octets, and the payload length beside it is zero."""
    ip = view.below(header)
    for option in options(header):
        if option.code != _JUMBO or len(option.data) != 4 or ip is None:
            continue
        size = int.from_bytes(option.data, "big")
        if size < 65536 or ip.number("payload_length"):
            says = f"a jumbo payload of {size} octets beside a payload length that is not zero"
            if size < 65536:
                says = f"a jumbo payload of {size} octets, which needs no such option"
            yield Breach((option.span,), size, None, says)


@rule(
    "ipv6-hop-by-hop-jumbo-absent",
    layer="ipv6-hop-by-hop",
    certainty="forbidden",
    source=memory("RFC 2675", "3"),
    drops="options",
    lenient="common hosts take the length 0 as it is",
    example=breaking(example_with(0, "010400000000"), ((18, 20),), (18, "0000"), resum=False),
)
def jumbo_absent(header: Layer, view: View) -> Iterator[Breach]:
    """A payload length of zero before these options announces a jumbo payload among them.

    A host answers with ICMPv6 4/0 where the option is not there.
    """
    ip = view.below(header)
    if ip is None or ip.kind != "ipv6" or ip.number("payload_length") != 0 or view.cut:
        return
    if all(option.code != _JUMBO for option in header.groups):
        says = "the payload length is 0, and no option says how long the payload is"
        yield at(ip["payload_length"], None, says)
