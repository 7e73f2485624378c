"""The ICMPv6 checksum, with the pseudo-header of IPv6 (RFC 8200 8.1)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, Verdict, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import ECHO_IPV6, breaking
from framecheck.judging._measure import measure, mismatch, whole_transport

_NAME = "icmpv6-checksum"


@measure(_NAME, layer="icmpv6")
def take(icmpv6: Layer, view: View) -> Verdict | None:
    """The sum up to the end that IP gives; not verifiable for a part of a message."""
    return whole_transport(icmpv6, view, _NAME, 58)


@rule(
    _NAME,
    layer="icmpv6",
    certainty="impossible",
    source=rfc(8200, "8.1"),
    drops="transport-checksum",
    lenient="small stacks that are built without checksum tests",
    example=breaking(ECHO_IPV6, ((54, 67),), (62, "67"), resum=False),
)
def icmpv6_checksum(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """The ICMPv6 checksum must hold over pseudo-header and message.

    ICMP over IPv4 sums no pseudo-header; ICMPv6 does, because IPv6 has no header checksum. A host
    discards the message in silence and counts an error.
    """
    yield from mismatch(icmpv6, view, _NAME, "ICMPv6 checksum")
