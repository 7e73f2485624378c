"""The UDP length against its header and the room that IP leaves (RFC 768)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, Outcome, Verdict, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import UDP, breaking
from framecheck.judging._measure import carrier, claimed, is_fragment, measure, misfit

_NAME = "udp-length"


@measure(_NAME, layer="udp")
def take(udp: Layer, view: View) -> Verdict | None:
    """Whether the length holds its header and is held by the datagram; octets may follow."""
    field = udp.get("length")
    if field is None or not field.whole:
        return Verdict(_NAME, "unverifiable", None, None, field.span if field else None, ())
    length, room, covers = field.number, udp.room, (field.span,)
    ip = carrier(udp, view)
    if ip is not None and is_fragment(ip, view):
        return Verdict(_NAME, "unverifiable", length, None, field.span, covers)
    if view.cut and ip is not None:
        # What is lost still counts: IP says how much there was.
        room = max(room, (claimed(ip) or 0) - (udp.start - ip.start) // 8)
    if length < 8:
        says = "shorter than its own header of 8 octets"
    elif length > room:
        says = f"{length - room} more than the {room} octets that IP carries"
    else:
        outcome: Outcome = "match" if length <= udp.room else "unverifiable"
        return Verdict(_NAME, outcome, length, length, field.span, covers)
    return Verdict(_NAME, "mismatch", length, room, field.span, covers, says)


@rule(
    _NAME,
    layer="udp",
    certainty="impossible",
    source=rfc(768, "Fields"),
    drops="transport-length",
    lenient="small stacks, which take the length from IP alone; server kernels take 0 over IPv6",
    example=breaking(UDP, ((38, 40),), (38, "0010"), resum=False),
)
def udp_length(udp: Layer, view: View) -> Iterator[Breach]:
    """The UDP length must hold its own header and must not exceed what IP carries.

    A host discards the datagram in silence and counts an error.
    """
    yield from misfit(udp, view, _NAME, "UDP length")
