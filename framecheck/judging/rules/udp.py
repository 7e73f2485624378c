"""UDP: what its length leaves over, its ports, and a checksum that is not there (RFC 768)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import UDP, UDP_IPV6, breaking
from framecheck.judging._measure import carrier, is_fragment
from framecheck.judging._shapes import too_few
from framecheck.judging._tools import at, many

_HEADER = 8


@rule(
    "udp-header-incomplete",
    layer="udp",
    certainty="impossible",
    source=rfc(768, "Format"),
    drops="transport-length",
    example=breaking(UDP, ((34, 38),), (16, "0018"), (38, "00" * 9)),
)
def header_incomplete(udp: Layer, view: View) -> Iterator[Breach]:
    """A UDP header has 8 octets."""
    yield from too_few(udp, view, _HEADER, "the header has")


@rule(
    "udp-surplus",
    layer="udp",
    certainty="suspicious",
    source=rfc(768, "Fields"),
    lenient="common hosts, which deliver what the UDP length says",
    example=breaking(UDP, ((38, 40),), (38, "000c")),
)
def surplus(udp: Layer, view: View) -> Iterator[Breach]:
    """The UDP length reaches to the end of the datagram.

    Octets behind it are covered by no checksum. Options for UDP stand there (RFC 9868, from
    memory), but nobody sends them yet.
    """
    length, ip = udp.number("length"), carrier(udp, view)
    if length is None or ip is None or is_fragment(ip, view):
        return
    if _HEADER <= length < udp.room:
        left = udp.room - length
        yield at(udp["length"], udp.room, f"the UDP length leaves {many(left)} of the datagram")


@rule(
    "udp-checksum-absent",
    layer="udp",
    certainty="unusual",
    source=rfc(768, "Fields"),
    example=breaking(UDP, ((40, 42),), (40, "0000"), resum=False),
)
def checksum_absent(udp: Layer, view: View) -> Iterator[Breach]:
    """A checksum of 0000 says that the sender made none.

    That is legal over IPv4, and a host delivers the datagram; nothing vouches for its data.
    """
    if udp.number("checksum") == 0 and not _over_ipv6(udp, view):
        yield at(udp["checksum"], None, "0000: no checksum was made")


def _over_ipv6(udp: Layer, view: View) -> bool:
    ip = carrier(udp, view)
    return ip is not None and ip.kind == "ipv6"


@rule(
    "udp-checksum-zero-over-ipv6",
    layer="udp",
    certainty="forbidden",
    source=rfc(8200, "8.1"),
    drops="transport-checksum",
    lenient="hosts that are told to, for the ports of a tunnel (RFC 6936)",
    example=breaking(UDP_IPV6, ((60, 62),), (60, "0000"), resum=False),
)
def checksum_zero_over_ipv6(udp: Layer, view: View) -> Iterator[Breach]:
    """Over IPv6 a UDP checksum must be made; 0000 must not be sent.

    IPv6 has no header checksum: nothing would vouch for the addresses. A host must discard the
    datagram. A sum that comes out as 0000 is sent as ffff.
    """
    if udp.number("checksum") == 0 and _over_ipv6(udp, view):
        yield at(udp["checksum"], None, "0000: no checksum was made, which IPv6 does not allow")


@rule(
    "udp-source-port-zero",
    layer="udp",
    certainty="unusual",
    source=rfc(768, "Fields"),
    example=breaking(UDP, ((34, 36),), (34, "0000")),
)
def source_port_zero(udp: Layer, view: View) -> Iterator[Breach]:
    """A source port of 0 says that no answer is expected."""
    if udp.number("source_port") == 0:
        yield at(udp["source_port"], None, "the source port is 0")


@rule(
    "udp-destination-port-zero",
    layer="udp",
    certainty="suspicious",
    source=memory("RFC 6335", "6"),
    drops="port",
    example=breaking(UDP, ((36, 38),), (36, "0000")),
)
def destination_port_zero(udp: Layer, view: View) -> Iterator[Breach]:
    """Port 0 is reserved; nobody listens on it."""
    if udp.number("destination_port") == 0:
        yield at(udp["destination_port"], None, "the destination port is 0")
