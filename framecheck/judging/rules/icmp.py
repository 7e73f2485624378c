"""ICMP: lengths, types and codes (RFC 792, RFC 1122 3.2.2)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import ICMP, breaking
from framecheck.judging._measure import lacks
from framecheck.judging._shapes import too_few
from framecheck.judging._tools import at, there

_HEADER = 8
_ERRORS = frozenset((3, 4, 5, 11, 12))
_SHORTEST_ERROR = 36
"""8 octets, the shortest IPv4 header, and 8 octets of what it carried."""
_MOST_CODE = {
    0: 0, 3: 15, 4: 0, 5: 3, 8: 0, 10: 0, 11: 1, 12: 2,
    13: 0, 14: 0, 15: 0, 16: 0, 17: 0, 18: 0,
}  # fmt: skip
"""Largest code of each type. From RFC 792 and RFC 1122; 3/13 to 3/15, 12/2 and 15 to 18 from
memory."""
_KNOWN = frozenset(_MOST_CODE) | {6, 9, 40, 42, 43, 253, 254} | set(range(30, 40))
_OBSOLETE = frozenset((4, 6, *range(15, 19), *range(30, 40)))


@rule(
    "icmp-incomplete",
    layer="icmp",
    certainty="impossible",
    source=rfc(792, "Message Formats"),
    drops="transport-length",
    example=breaking(ICMP, ((34, 38),), (16, "0018"), (38, "00" * 36)),
)
def incomplete(icmp: Layer, view: View) -> Iterator[Breach]:
    """An ICMP message has at least 8 octets."""
    yield from too_few(icmp, view, _HEADER, "a message has at least")


@rule(
    "icmp-type-unknown",
    layer="icmp",
    certainty="suspicious",
    source=rfc(1122, "3.2.2"),
    drops="application",
    example=breaking(ICMP, ((34, 35),), (34, "63")),
)
def type_unknown(icmp: Layer, view: View) -> Iterator[Breach]:
    """The type is one that a standard names; a host silently discards any other."""
    number = icmp.number("type")
    if number is not None and number not in _KNOWN:
        yield at(icmp["type"], None, f"type {number} is named by no standard")


@rule(
    "icmp-code-unknown",
    layer="icmp",
    certainty="suspicious",
    source=rfc(792, "Message Formats"),
    lenient="common hosts answer an echo request whatever its code",
    example=breaking(ICMP, ((35, 36),), (35, "01")),
)
def code_unknown(icmp: Layer, view: View) -> Iterator[Breach]:
    """The code is one that the type has."""
    kind, code = icmp.number("type"), icmp.number("code")
    if kind is None or code is None or code <= _MOST_CODE.get(kind, 255):
        return
    yield at(icmp["code"], None, f"type {kind} has no code {code}")


@rule(
    "icmp-quote-too-short",
    layer="icmp",
    certainty="suspicious",
    source=rfc(1122, "3.2.2"),
    example=breaking(
        ICMP, ((42, 66),), (16, "0034"), (34, "0301"), (38, "00000000"), (66, "00" * 8)
    ),
)
def quote_too_short(icmp: Layer, view: View) -> Iterator[Breach]:
    """An error quotes the IP header that it is about and at least 8 octets behind it."""
    if icmp.number("type") not in _ERRORS or lacks(view):
        return
    if _HEADER <= icmp.room < _SHORTEST_ERROR:
        quoted = icmp.room - _HEADER
        span = there(icmp, view)
        if quoted:
            span = span._replace(start=span.start + _HEADER * 8)
        says = f"{quoted} octets are quoted, at least {_SHORTEST_ERROR - _HEADER} must be"
        yield Breach((span,), quoted, _SHORTEST_ERROR - _HEADER, says)


@rule(
    "icmp-type-obsolete",
    layer="icmp",
    certainty="unusual",
    source=memory("RFC 6918", "2"),
    example=breaking(ICMP, ((34, 35),), (34, "0f")),
)
def type_obsolete(icmp: Layer, view: View) -> Iterator[Breach]:
    """Source quench, information and mask requests and their like are no longer used."""
    number = icmp.number("type")
    if number in _OBSOLETE:
        yield at(icmp["type"], None, f"type {number} is obsolete")
