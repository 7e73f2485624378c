"""The IPv4 header checksum (RFC 791 3.1, RFC 1071)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, Verdict, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import UDP, breaking
from framecheck.judging._measure import measure, mismatch, plain

_NAME = "ipv4-header-checksum"


@measure(_NAME, layer="ipv4")
def take(ip: Layer, view: View) -> Verdict | None:
    """The sum over IHL words; not verifiable when the header is not all there."""
    ihl = ip.number("ihl")
    stop = None if ihl is None or ihl < 5 else ip.start + ihl * 32
    verdict = plain(ip, view, _NAME, "header_checksum", stop)
    if verdict.outcome == "mismatch" and verdict.carried == 0:
        return verdict._replace(says="0000 often means that the adapter was to fill it in")
    return verdict


@rule(
    _NAME,
    layer="ipv4",
    certainty="impossible",
    source=rfc(1122, "3.2.1.2"),
    drops="ip-header-checksum",
    lenient="small stacks that are built without checksum tests",
    example=breaking(UDP, ((14, 34),), (28, "03"), resum=False),
)
def header_checksum(ip: Layer, view: View) -> Iterator[Breach]:
    """The one's complement sum over the IPv4 header, its checksum included, must be FFFF.

    A host must verify it and silently discard the datagram when it does not hold: no answer
    comes, only a counter of header errors moves. The sum does not see two exchanged words.
    """
    yield from mismatch(ip, view, _NAME, "IPv4 header checksum")
