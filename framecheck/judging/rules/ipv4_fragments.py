"""IPv4 fragments against those that came before, and against the header that they part."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, practice, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import (
    ICMP,
    TCP,
    UDP_LONG,
    UDP_SHORTER,
    behind,
    breaking,
    fragment,
)
from framecheck.judging._fragments import other_end, overlaps
from framecheck.judging._measure import is_fragment
from framecheck.judging._tools import there

_LEAST = {"udp": 8, "tcp": 20, "icmp": 8}
_FIRST = fragment(ICMP, 0, 16)


@rule(
    "ipv4-fragment-overlap",
    layer="ipv4",
    certainty="suspicious",
    source=rfc(791, "3.2"),
    lenient="hosts that keep the newer octets, as RFC 791 has it; newer kernels discard all of it",
    example=behind((_FIRST,), fragment(ICMP, 8, 40), ((34, 42),)),
)
def overlap(ip: Layer, view: View) -> Iterator[Breach]:
    """The fragments of a datagram lie side by side.

    A host takes those that overlap, and keeps the octets that came last; a sender has no reason to
    send octets twice. It is the mark of a wrong offset, of a number that was used again too soon,
    or of somebody who hides a header from a filter (RFC 1858 4, from memory).
    """
    yield from overlaps(ip, view)


@rule(
    "ipv4-fragment-end",
    layer="ipv4",
    certainty="impossible",
    source=practice("a datagram has one end"),
    drops="reassembly",
    example=behind((fragment(UDP_SHORTER, 16),), fragment(UDP_LONG, 40, 48), ((20, 22),)),
)
def end(ip: Layer, view: View) -> Iterator[Breach]:
    """All fragments of a datagram agree where it ends.

    The last one says it: nothing can stand behind, and there is one such place only. A host never
    gets such a datagram together.
    """
    yield from other_end(ip, view)


@rule(
    "ipv4-fragment-inside-header",
    layer="ipv4",
    certainty="suspicious",
    source=memory("RFC 1858", "3 and 4; RFC 3128"),
    lenient="hosts, which wait for the rest; filters drop it",
    example=breaking(TCP, ((20, 22),), (16, "003c"), (20, "0001"), resum=True),
)
def inside_header(ip: Layer, view: View) -> Iterator[Breach]:
    """The header of a transport is not parted.

    A link takes 68 octets at least, so that a first fragment holds all of it. A first one that is
    shorter, or one of TCP that begins 8 octets in, hides the flags from what filters.
    """
    if not is_fragment(ip, view) or not ip.whole("fragment_offset") or view.cut:
        return
    if ip.number("protocol") == 6 and ip.number("fragment_offset") == 1:
        span = ip["more_fragments"].span._replace(
            start=ip["reserved_flag"].start, stop=ip["fragment_offset"].stop
        )
        yield Breach((span,), 1, None, "a fragment of TCP begins 8 octets into its header")
    above = view.above(ip)
    if above is not None and not ip.number("fragment_offset"):
        least = _LEAST.get(above.kind)
        if least is not None and above.room < least:
            says = f"the first fragment ends {above.room} octets into a header of {least}"
            yield Breach((there(above, view),), above.room, least, says)
