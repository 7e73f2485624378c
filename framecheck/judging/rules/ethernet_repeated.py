"""A frame that comes twice in one log, octet for octet."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.span import Span
from framecheck.core.view import View
from framecheck.judging._examples import UDP, behind
from framecheck.judging.memory.frames import MOST_FRAMES, MOST_OCTETS, Frames


@rule(
    "ethernet-frame-repeated",
    layer="ethernet",
    certainty="unusual",
    source=memory("RFC 6864", "4.3"),
    example=behind((UDP.hex(),), UDP, ((0, 60),)),
)
def repeated(ethernet: Layer, view: View) -> Iterator[Breach]:
    """A host sends each datagram of IPv4 once: one that it sends again gets another number.

    The same frame again, identification included, was printed twice, or the ring of the adapter
    gave it out twice, or the wire doubled it. Only frames for one host and with a number are looked
    at; requests to all (ARP, DHCP) and protocols without numbers are repeated as they are.
    """
    ip, octets = view.find("ipv4"), view.octets
    if view.past is None or ip is None or octets[0] & 1 or not ip.number("identification"):
        return
    if len(octets) > MOST_OCTETS or view.cut:
        return
    frame = view.past.of(Frames).number_of(octets)
    if frame is not None:
        says = f"frame {frame} is the same, octet for octet (of the last {MOST_FRAMES} frames)"
        yield Breach((Span.of_octets(0, len(octets)),), None, None, says)
