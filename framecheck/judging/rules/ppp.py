"""PPP: the number of what a packet carries (RFC 1661 2, from memory)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._configuration import in_session
from framecheck.judging._examples import breaking, over_ethernet
from framecheck.judging._tools import at, many, there

_BASE = in_session(0xC021, "01010004")


@rule(
    "ppp-incomplete",
    layer="ppp",
    certainty="impossible",
    source=memory("RFC 1661", "2"),
    drops="application",
    example=breaking(over_ethernet(0x8864, "11000007000100"), ((20, 21),)),
)
def incomplete(ppp: Layer, view: View) -> Iterator[Breach]:
    """A packet has a protocol number of 2 octets, or of 1 where it was compressed (and is odd)."""
    field = ppp.get("protocol")
    if field is not None and not field.whole and not view.cut:
        says = f"{many(ppp.room)}, the protocol number has 2"
        yield Breach((there(ppp, view),), ppp.room, 2, says)


@rule(
    "ppp-protocol-number",
    layer="ppp",
    certainty="forbidden",
    source=memory("RFC 1661", "2"),
    drops="application",
    example=breaking(_BASE, ((20, 22),), (20, "c020")),
)
def protocol_number(ppp: Layer, view: View) -> Iterator[Breach]:
    """A protocol number is odd.

    Its last bit tells where it ends. Any other is taken for a protocol that is unknown, and
    refused.
    """
    field = ppp.get("protocol")
    if field is not None and field.whole and not field.number & 1:
        yield at(field, None, f"the protocol number is {field.number:04x}")
