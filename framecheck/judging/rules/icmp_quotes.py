"""What ICMP errors quote, against the datagrams of the same log."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.span import Span, runs
from framecheck.core.sums import ones_sum, pseudo_header
from framecheck.core.view import View
from framecheck.judging._examples import UDP, behind, edited, resummed
from framecheck.judging.memory.datagrams import QUOTED, Datagrams

_UDP = 17
_SUM = (6, 8)


def _error(quote: bytes) -> bytes:
    """An error of port unreachable from the second host about a datagram of the first."""
    head = "00005e00530100005e005302" + "0800" + f"4500{28 + len(quote):04x}43210000400100" + "00"
    ends = "c0000202" + "c0000201"
    return resummed(bytes.fromhex(head + ends + "0303" + "00" * 6) + quote)


@rule(
    "icmp-quote-changed",
    layer="icmp",
    certainty="suspicious",
    source=rfc(1122, "3.2.2"),
    example=behind((UDP.hex(),), edited(_error(UDP[14:42]), (63, "87")), ((63, 64),)),
)
def quote_changed(icmp: Layer, view: View) -> Iterator[Breach]:
    """An error quotes the datagram that it is about as it was received.

    Where the log holds that datagram, its first 8 octets behind the header are known. What differs
    was damaged on the way there, or on the way back.
    """
    ip = next((x for x in view.layers if x.quoted and x.kind == "ipv4"), None)
    if view.past is None or ip is None or ip.number("fragment_offset"):
        return
    known = view.past.of(Datagrams).quoted(ip)
    if known is None:
        return
    frame, wanted = known
    first = ip.stop // 8
    found = view.octets[first : min(first + QUOTED, ip.limit // 8)]
    # A sum that the sender's adapter was to finish was not yet there when it was printed.
    left = range(*_SUM) if ip.number("protocol") == _UDP and _is_half(ip, wanted) else ()
    both = enumerate(zip(found, wanted, strict=False))
    places = runs(i for i, (a, b) in both if a != b and i not in left)
    if places:
        spans = tuple(Span.of_octets(first + a, first + b) for a, b in places)
        here = [(found[a:b].hex(), wanted[a:b].hex()) for a, b in places]
        says = f"the datagram in frame {frame} had {here[0][1]} where {here[0][0]} is quoted"
        yield Breach(spans, here[0][0], here[0][1], says)


def _is_half(ip: Layer, udp: bytes) -> bool:
    """Whether a UDP header's checksum is the sum of the pseudo-header alone."""
    ends = ip["source_address"].raw, ip["destination_address"].raw
    length = int.from_bytes(udp[4:6], "big")
    half = ones_sum(pseudo_header(*ends, _UDP, length))
    return int.from_bytes(udp[6:8], "big") in (half, ones_sum(pseudo_header(*ends, _UDP, 0)))
