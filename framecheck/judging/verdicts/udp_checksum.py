"""The UDP checksum, with the pseudo-header of its IP (RFC 768, RFC 8200 8.1)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, Verdict, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import UDP, breaking
from framecheck.judging._measure import carrier, is_fragment, measure, mismatch, transport

_NAME = "udp-checksum"


@measure(_NAME, layer="udp")
def take(udp: Layer, view: View) -> Verdict | None:
    """The sum up to UDP's own length; 0000 says that there is none."""
    ip, length = carrier(udp, view), udp.number("length")
    known = ip is not None and not is_fragment(ip, view) and length is not None and length >= 8
    stop = udp.start + length * 8 if known and length is not None else None
    verdict = transport(udp, view, _NAME, 17, stop)
    if verdict.outcome == "unverifiable" and verdict.carried == 0 and known:
        return verdict._replace(outcome="absent")
    return verdict


@rule(
    _NAME,
    layer="udp",
    certainty="impossible",
    source=rfc(1122, "4.1.3.4"),
    drops="transport-checksum",
    lenient="small stacks that are built without checksum tests",
    example=breaking(UDP, ((34, 47),), (44, "6b"), resum=False),
)
def udp_checksum(udp: Layer, view: View) -> Iterator[Breach]:
    """A UDP checksum that is not zero must hold over pseudo-header, header and data.

    A host discards the datagram in silence and counts an error. A field that equals the sum of
    the pseudo-header alone is no damage: the sender's adapter was to finish it.
    """
    yield from mismatch(udp, view, _NAME, "UDP checksum")
