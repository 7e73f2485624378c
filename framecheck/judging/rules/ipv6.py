"""IPv6: the header, and the chain of headers behind it (RFC 8200)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, practice, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import ECHO_IPV6, ONE, TCP_IPV6, UDP_IPV6, breaking, over_ipv6
from framecheck.judging._measure import extensions, is_fragment
from framecheck.judging._shapes import too_few
from framecheck.judging._tools import address, at, span_of

_HEADER = 40
_START_VALUES = frozenset((1, 32, 64, 128, 255))
_READ = frozenset((0, 6, 17, 43, 44, 58, 60))
"""Next headers that are tables here, so that one of them cannot begin where nothing is left."""
_ORDER = (
    "ipv6-hop-by-hop",
    "ipv6-destination-options",
    "ipv6-routing",
    "ipv6-fragment",
    "ipv6-destination-options",
)


@rule(
    "ipv6-version",
    layer="ipv6",
    certainty="impossible",
    source=rfc(8200, "3"),
    drops="ip-version-ihl",
    example=breaking(UDP_IPV6, ((14, 15),), (14, "40")),
)
def version(ip: Layer, view: View) -> Iterator[Breach]:
    """Behind type 86dd stands version 6."""
    number = ip.number("version")
    if number is not None and number != 6:
        yield at(ip["version"], 6, f"the version is {number}, not 6")


@rule(
    "ipv6-header-incomplete",
    layer="ipv6",
    certainty="impossible",
    source=rfc(8200, "3"),
    drops="ip-version-ihl",
    example=breaking(UDP_IPV6, ((14, 50),), stop=50, resum=False),
)
def header_incomplete(ip: Layer, view: View) -> Iterator[Breach]:
    """An IPv6 header has 40 octets."""
    yield from too_few(ip, view, _HEADER, "the header has")


@rule(
    "ipv6-hop-limit-zero",
    layer="ipv6",
    certainty="suspicious",
    source=rfc(8200, "3"),
    lenient="the host that it is for, which must not drop it",
    example=breaking(UDP_IPV6, ((21, 22),), (21, "00")),
)
def hop_limit_zero(ip: Layer, view: View) -> Iterator[Breach]:
    """A router discards what has a hop limit of 0, so nobody sends it."""
    if ip.number("hop_limit") == 0:
        yield at(ip["hop_limit"], None, "the hop limit is 0")


@rule(
    "ipv6-hop-limit-unusual",
    layer="ipv6",
    certainty="unusual",
    source=practice("start values of common stacks"),
    example=breaking(UDP_IPV6, ((21, 22),), (21, "3f")),
)
def hop_limit_unusual(ip: Layer, view: View) -> Iterator[Breach]:
    """What a link-local address sends was not forwarded: its hop limit is still a start value.

    1, 32, 64, 128 or 255.
    """
    number, source = ip.number("hop_limit"), address(ip, "source_address")
    if number and number not in _START_VALUES and source and source[:8] == bytes.fromhex(ONE[:16]):
        yield at(ip["hop_limit"], None, f"the hop limit is {number}, from a link-local address")


@rule(
    "ipv6-congestion-experienced",
    layer="ipv6",
    certainty="unusual",
    source=rfc(3168, "5"),
    example=breaking(UDP_IPV6, ((14, 16),), (14, "6030")),
)
def congestion_experienced(ip: Layer, view: View) -> Iterator[Breach]:
    """A router on the way marked the datagram: it saw congestion. Rare on a quiet bench."""
    number = ip.number("traffic_class")
    if number is not None and number & 3 == 3:
        says = "both bits of the congestion notification are set"
        yield at(ip["traffic_class"], None, says)


def _chain(ip: Layer, view: View) -> tuple[Layer, ...]:
    return (ip, *extensions(ip, view))


@rule(
    "ipv6-next-header-unassigned",
    layer="ipv6",
    certainty="suspicious",
    source=memory("protocol numbers", "unassigned up to 252, 255 reserved"),
    drops="protocol-demux",
    example=breaking(TCP_IPV6, ((20, 21),), (20, "c8")),
)
def next_header_unassigned(ip: Layer, view: View) -> Iterator[Breach]:
    """The next header is one that has been assigned to somebody.

    A host answers one that it does not know with ICMPv6 4/1 (RFC 8200 4).
    """
    last = _chain(ip, view)[-1]
    number = last.number("next_header")
    if number is not None and (160 <= number <= 252 or number == 255):
        yield at(last["next_header"], None, f"next header {number} is assigned to nobody")


@rule(
    "ipv6-next-header-absent",
    layer="ipv6",
    certainty="impossible",
    source=rfc(8200, "4"),
    drops="transport-length",
    example=breaking(UDP_IPV6, ((20, 21),), (18, "0000"), stop=54),
)
def next_header_absent(ip: Layer, view: View) -> Iterator[Breach]:
    """The header that a next header field announces begins within the payload.

    59 says that nothing follows.
    """
    last = _chain(ip, view)[-1]
    number = last.number("next_header")
    cut_off = view.cut or is_fragment(ip, view) or not ip.whole("destination_address")
    above = view.above(last)
    ends_here = above is None or above.kind == "padding"
    if number in _READ and ends_here and not cut_off:
        says = f"header {number} is announced, and no octet of the payload is left for it"
        yield at(last["next_header"], 59, says)


@rule(
    "ipv6-extension-repeated",
    layer="ipv6",
    certainty="suspicious",
    source=rfc(8200, "4.1"),
    example=breaking(
        over_ipv6("2b000000000000003a00000000000000" + ECHO_IPV6[54:].hex(), 43, 64),
        ((54, 62), (62, 70)),
    ),
)
def extension_repeated(ip: Layer, view: View) -> Iterator[Breach]:
    """Each extension header occurs once, destination options at most twice."""
    found = extensions(ip, view)
    for kind in dict.fromkeys(x.kind for x in found):
        same = tuple(x for x in found if x.kind == kind)
        if len(same) > (2 if kind == "ipv6-destination-options" else 1):
            spans = tuple(map(span_of, same))
            yield Breach(spans, len(same), 1, f"{len(same)} headers of one kind: {_plain(kind)}")


@rule(
    "ipv6-extension-order",
    layer="ipv6",
    certainty="unusual",
    source=rfc(8200, "4.1"),
    example=breaking(
        over_ipv6("2b000000000000013a00000000000000" + ECHO_IPV6[54:].hex(), 44, 64),
        ((54, 55), (62, 70)),
    ),
)
def extension_order(ip: Layer, view: View) -> Iterator[Breach]:
    """Extension headers stand in one order, though a host must take them in any.

    Hop-by-hop options, destination options, routing, fragment, destination options again.
    """
    place, below = 0, ip
    for header in extensions(ip, view):
        if header.kind in _ORDER[place:]:
            place, below = _ORDER.index(header.kind, place), header
            continue
        if header.kind != _ORDER[0]:  # which has a rule of its own
            name = _plain(header.kind)
            says = f"{name} stands behind a header that it usually precedes"
            yield Breach((below["next_header"].span, span_of(header)), name, None, says)
        return


def _plain(kind: str) -> str:
    return kind.removeprefix("ipv6-").replace("-", " ")
