"""The TCP checksum, with the pseudo-header of its IP (RFC 9293 3.1, RFC 8200 8.1)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, Verdict, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import TCP, breaking
from framecheck.judging._measure import measure, mismatch, whole_transport

_NAME = "tcp-checksum"


@measure(_NAME, layer="tcp")
def take(tcp: Layer, view: View) -> Verdict | None:
    """The sum up to the end that IP gives; not verifiable for a part of a segment."""
    return whole_transport(tcp, view, _NAME, 6)


@rule(
    _NAME,
    layer="tcp",
    certainty="impossible",
    source=rfc(9293, "3.1"),
    drops="transport-checksum",
    lenient="small stacks that are built without checksum tests",
    example=breaking(TCP, ((34, 74),), (48, "fb"), resum=False),
)
def tcp_checksum(tcp: Layer, view: View) -> Iterator[Breach]:
    """The TCP checksum must hold over pseudo-header, header and data.

    It is not optional. A host discards the segment in silence and counts an error. A field that
    equals the sum of the pseudo-header alone is no damage: the sender's adapter was to finish it.
    """
    yield from mismatch(tcp, view, _NAME, "TCP checksum")
