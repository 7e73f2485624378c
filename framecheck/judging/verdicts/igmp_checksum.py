"""The IGMP checksum, over the whole message and no pseudo-header (RFC 3376 4.1.2, from memory)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, Verdict, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import REPORT, breaking
from framecheck.judging._measure import carrier, is_whole, measure, mismatch, plain

_NAME = "igmp-checksum"


@measure(_NAME, layer="igmp")
def take(igmp: Layer, view: View) -> Verdict | None:
    """The sum over all that IP carries, also what a version does not know."""
    ip = carrier(igmp, view)
    whole = ip is not None and is_whole(ip, view)
    return plain(igmp, view, _NAME, "checksum", igmp.limit if whole else None)


@rule(
    _NAME,
    layer="igmp",
    certainty="impossible",
    source=memory("RFC 3376", "4.1.2"),
    drops="transport-checksum",
    lenient="small stacks that are built without checksum tests",
    example=breaking(REPORT, ((38, 54),), (53, "fa"), resum=False),
)
def igmp_checksum(igmp: Layer, view: View) -> Iterator[Breach]:
    """The one's complement sum over the whole IGMP message must be FFFF.

    It covers all that IP carries, also octets that an older version does not know. A host discards
    the message in silence.
    """
    yield from mismatch(igmp, view, _NAME, "IGMP checksum")
