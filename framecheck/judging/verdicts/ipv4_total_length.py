"""The IPv4 total length against its own header and the octets that arrived (RFC 791 3.1)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, Verdict, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import UDP, breaking
from framecheck.judging._measure import length_of, measure, misfit

_NAME = "ipv4-total-length"


@measure(_NAME, layer="ipv4")
def take(ip: Layer, view: View) -> Verdict | None:
    """Whether the length holds its header and is held by the frame; padding may follow."""
    return length_of(ip, view, _NAME, "total_length")


@rule(
    _NAME,
    layer="ipv4",
    certainty="impossible",
    source=rfc(791, "3.1"),
    drops="total-length-vs-received",
    example=breaking(UDP, ((16, 18),), (16, "0042"), resum=True),
)
def total_length(ip: Layer, view: View) -> Iterator[Breach]:
    """The IPv4 total length must hold its own header and must not exceed what arrived.

    A receiver trims the padding behind the total length; a datagram that claims more octets
    than arrived was cut on its way, or its length is damaged. It is discarded in silence.
    """
    yield from misfit(ip, view, _NAME, "IPv4 total length")
