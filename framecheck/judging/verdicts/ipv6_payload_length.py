"""The IPv6 payload length against the octets that arrived (RFC 8200 3)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, Verdict, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import UDP_IPV6, breaking
from framecheck.judging._measure import length_of, measure, misfit

_NAME = "ipv6-payload-length"


@measure(_NAME, layer="ipv6")
def take(ip: Layer, view: View) -> Verdict | None:
    """Whether the frame holds the payload; padding may follow. A jumbo payload is not verified."""
    return length_of(ip, view, _NAME, "payload_length")


@rule(
    _NAME,
    layer="ipv6",
    certainty="impossible",
    source=rfc(8200, "3"),
    drops="total-length-vs-received",
    example=breaking(UDP_IPV6, ((18, 20),), (18, "0042")),
)
def payload_length(ip: Layer, view: View) -> Iterator[Breach]:
    """The IPv6 payload length must not exceed what arrived behind the header.

    It counts the extension headers and all behind them, not the 40 octets of the header itself. A
    datagram that claims more octets than arrived was cut, or its length is damaged. It is discarded
    in silence. 0 with a hop-by-hop header announces a jumbo payload (RFC 2675 3).
    """
    yield from misfit(ip, view, _NAME, "IPv6 payload length")
