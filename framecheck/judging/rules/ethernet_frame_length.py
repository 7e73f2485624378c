"""How long a frame may be, in a dump and on the wire."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.span import Span
from framecheck.core.view import View
from framecheck.judging._examples import ARP, UDP, breaking
from framecheck.judging._tools import tags

_HEADER, _SHORTEST, _LONGEST, _TAG = 14, 60, 1514, 4
_LONG = (60, "a5" * 1455)


@rule(
    "ethernet-frame-too-short",
    layer="ethernet",
    certainty="impossible",
    source=memory("IEEE 802.3", "3.1"),
    drops="driver-length-status",
    example=breaking(UDP, ((0, 13),), stop=13, resum=False),
)
def too_short(ethernet: Layer, view: View) -> Iterator[Breach]:
    """Fewer than 14 octets hold no header: it is no frame at all."""
    length = len(view.octets)
    if length < _HEADER and not ethernet.start and not view.cut:
        says = f"{length} octets cannot hold the header of {_HEADER}"
        yield Breach((Span.of_octets(0, length),), length, _HEADER, says)


@rule(
    "ethernet-frame-unpadded",
    layer="ethernet",
    certainty="unusual",
    source=rfc(894, "Frame Format"),
    example=breaking(ARP, ((0, 42),), stop=42),
)
def unpadded(ethernet: Layer, view: View) -> Iterator[Breach]:
    """Fewer than 60 octets without FCS: seen before the sender's adapter padded the frame.

    On the sending side and on virtual devices this is normal. Hosts take such frames.
    """
    length = len(view.octets)
    if _HEADER <= length < _SHORTEST and not view.on_wire and not view.cut:
        says = f"{length} octets; on a wire it would have been padded to {_SHORTEST}"
        yield Breach((Span.of_octets(0, length),), length, _SHORTEST, says)


@rule(
    "ethernet-frame-runt",
    layer="ethernet",
    certainty="impossible",
    source=rfc(1042, "Frame Format and MAC Level Issues"),
    drops="driver-length-status",
    example=breaking(ARP, ((0, 42),), stop=42, on_wire=True),
)
def runt(ethernet: Layer, view: View) -> Iterator[Breach]:
    """On a wire a frame has at least 60 octets before its FCS.

    An FCS or a preamble shows that this one was on a wire. A MAC drops it and counts an
    undersized frame or a fragment.
    """
    length = len(view.octets)
    if _HEADER <= length < _SHORTEST and view.on_wire and not view.cut:
        says = f"{length} octets, at least {_SHORTEST} are sent on a wire"
        yield Breach((Span.of_octets(0, length),), length, _SHORTEST, says)


def _beyond(view: View) -> tuple[int, int]:
    return _LONGEST + _TAG * tags(view), len(view.octets)


@rule(
    "ethernet-frame-long",
    layer="ethernet",
    certainty="unusual",
    source=rfc(1042, "Frame Format and MAC Level Issues"),
    example=breaking(UDP, ((1514, 1515),), _LONG),
)
def long(ethernet: Layer, view: View) -> Iterator[Breach]:
    """More than 1514 octets without FCS: a jumbo frame, or segments that the adapter joined.

    Each tag adds 4. No wire with the usual limit carries such a frame.
    """
    most, length = _beyond(view)
    if length > most and not view.on_wire:
        says = f"{length} octets, {length - most} more than the usual {most}"
        yield Breach((Span.of_octets(most, length),), length, most, says)


@rule(
    "ethernet-frame-oversize",
    layer="ethernet",
    certainty="forbidden",
    source=rfc(1042, "Frame Format and MAC Level Issues"),
    drops="driver-length-status",
    lenient="adapters that are set up for jumbo frames",
    example=breaking(UDP, ((1514, 1515),), _LONG, on_wire=True),
)
def oversize(ethernet: Layer, view: View) -> Iterator[Breach]:
    """On a wire a frame has at most 1514 octets before its FCS, 4 more with a tag.

    An FCS or a preamble shows that this one was on a wire. A MAC counts it as too long.
    """
    most, length = _beyond(view)
    if length > most and view.on_wire:
        says = f"{length} octets, at most {most} are sent on a wire"
        yield Breach((Span.of_octets(most, length),), length, most, says)
