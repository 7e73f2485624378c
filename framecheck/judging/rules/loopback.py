"""Configuration testing: lengths, functions, addresses (Ethernet 2.0 chapter 8, from memory)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import breaking, over_ethernet
from framecheck.judging._shapes import too_few
from framecheck.judging._tools import at, span_of

_TYPE = 0x9000
_BASE = over_ethernet(_TYPE, "0000" + "0200" + "00005e005301" + "0100" + "0700")
_LEAST = 4
_KNOWN = (1, 2)
_SOURCE = memory("Ethernet 2.0", "8")


@rule(
    "loopback-incomplete",
    layer="loopback",
    certainty="impossible",
    source=_SOURCE,
    drops="application",
    example=breaking(_BASE, ((14, 17),), stop=17),
)
def incomplete(loopback: Layer, view: View) -> Iterator[Breach]:
    """A message has a skip count and a function, 2 octets each."""
    yield from too_few(loopback, view, _LEAST, "the shortest message has")


@rule(
    "loopback-skip-count",
    layer="loopback",
    certainty="impossible",
    source=_SOURCE,
    drops="application",
    example=breaking(_BASE, ((14, 16),), (14, "0001")),
)
def skip_count(loopback: Layer, view: View) -> Iterator[Breach]:
    """The skip count leads to a function that is in the frame; its least octet stands first.

    Each station that passes the frame on adds 8. 0100 that should have been 0001 shows exchanged
    octets: 256 instead of 1.
    """
    field = loopback.get("skip_count")
    if field is None or not field.whole or view.cut:
        return
    skipped = int.from_bytes(field.raw, "little")
    if 2 + skipped + 2 > loopback.room >= _LEAST:
        says = f"the skip count is {skipped}, {loopback.room - 2} octets follow"
        yield at(field, None, says)


@rule(
    "loopback-function-unknown",
    layer="loopback",
    certainty="suspicious",
    source=_SOURCE,
    drops="application",
    example=breaking(_BASE, ((16, 18),), (16, "0002")),
)
def function_unknown(loopback: Layer, view: View) -> Iterator[Breach]:
    """A function is 1 (reply) or 2 (forward data), its least octet first.

    0002 is 2 with its octets exchanged: who swaps 16-bit words to read a frame does it here too.
    """
    place = loopback.start // 8 + 2
    first = view.octets[place : place + 2]
    number = int.from_bytes(first, "little")
    skipped = loopback.get("skip_count")
    if len(first) == 2 and number not in _KNOWN and skipped is not None and not any(skipped.raw):
        span = span_of(loopback)._replace(start=place * 8, stop=place * 8 + 16)
        yield Breach((span,), first.hex(), None, f"function {number} is none")


@rule(
    "loopback-forward-to-group",
    layer="loopback",
    certainty="forbidden",
    source=_SOURCE,
    drops="application",
    example=breaking(_BASE, ((18, 24),), (18, "01")),
)
def forward_to_group(loopback: Layer, view: View) -> Iterator[Breach]:
    """A frame is passed on to one station, not to a group: copies would multiply."""
    for field in loopback.fields:
        if field.name == "forward_address" and field.whole and field.raw[0] & 1:
            yield at(field, None, f"to be passed on to the group {field.raw.hex(':')}")
