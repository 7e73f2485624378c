"""The ICMP checksum, over the whole message and no pseudo-header (RFC 792)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, Verdict, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import ICMP, breaking
from framecheck.judging._measure import is_whole, measure, mismatch, plain

_NAME = "icmp-checksum"


@measure(_NAME, layer="icmp")
def take(icmp: Layer, view: View) -> Verdict | None:
    """The sum up to the end that IP gives; not verifiable for a part of a message."""
    ip = view.below(icmp)
    whole = ip is not None and ip.kind == "ipv4" and is_whole(ip, view)
    return plain(icmp, view, _NAME, "checksum", icmp.limit if whole else None)


@rule(
    _NAME,
    layer="icmp",
    certainty="impossible",
    source=rfc(792, "Echo"),
    drops="transport-checksum",
    lenient="small stacks that are built without checksum tests",
    example=breaking(ICMP, ((34, 74),), (60, "00"), resum=False),
)
def icmp_checksum(icmp: Layer, view: View) -> Iterator[Breach]:
    """The one's complement sum over the whole ICMP message must be FFFF.

    An odd last octet is summed as if a zero followed. A host discards the message in silence.
    """
    yield from mismatch(icmp, view, _NAME, "ICMP checksum")
