"""What echo replies of IPv4 and IPv6 share: what they repeat, and the breach that another is."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach
from framecheck.core.layer import Layer
from framecheck.core.span import Span, runs
from framecheck.core.view import View
from framecheck.judging._answers import Repeated, ends, fields
from framecheck.judging._examples import ECHO_IPV6, ICMP, edited
from framecheck.judging._measure import carrier, is_fragment
from framecheck.judging._tools import many
from framecheck.judging.memory.echoes import Echoes, data_of


def _answered(request: bytes, first: int, size: int, kind: str, at: int) -> bytes:
    """The reply to a request, made by exchanging its addresses and setting its type."""
    ends = request[first : first + size], request[first + size : first + 2 * size]
    link = (0, (request[6:12] + request[:6]).hex())
    return edited(request, link, (first, (ends[1] + ends[0]).hex()), (at, kind))


REPLY = _answered(ICMP, 26, 4, "00", 34)
REPLY_IPV6 = _answered(ECHO_IPV6, 22, 16, "81", 54)


def differs(echo: Layer, view: View) -> Iterator[Breach]:
    """The breach that a reply is whose data are not those of any request that it could answer."""
    if view.past is None or view.cut:
        return
    ip, asked = carrier(echo, view), view.past.of(Echoes).asked(echo, view)
    data = data_of(echo, view)
    if not asked or ip is None or is_fragment(ip, view) or any(d == data for _, d in asked):
        return
    frame, wanted = asked[-1]
    at = echo.stop // 8
    both = min(len(data), len(wanted))
    places = [(at + a, at + b) for a, b in runs(i for i in range(both) if data[i] != wanted[i])]
    if len(data) > both:
        places.append((at + both, at + len(data)))
    said = f"the request in frame {frame} had other data"
    if len(data) != len(wanted):
        said = f"{many(len(data))} of data, the request in frame {frame} had {len(wanted)}"
    if not places:  # nothing but octets that are lacking
        places = [echo.octets]
    spans = tuple(Span.of_octets(a, b) for a, b in places)
    first, stop = places[0][0] - at, places[0][1] - at
    expected = wanted[first:stop].hex() if 0 <= first < stop <= len(wanted) else None
    yield Breach(spans, view.octets[places[0][0] : places[0][1]].hex(), expected, said)


def repeated(echo: Layer, view: View) -> Iterator[Repeated]:
    """What the request that a reply answers had: its ends, its numbers, and the data of one."""
    if view.past is None or echo.quoted:
        return
    ip, asked = carrier(echo, view), view.past.of(Echoes).asked(echo, view)
    if not asked or ip is None:
        return
    yield from ends(ip)
    yield from fields(echo, {n: echo[n].raw for n in ("identifier", "sequence_number")})
    own = data_of(echo, view)
    # The same numbers may have come twice, with other data: the likelier request is the likest.
    likest = max((d for _, d in asked), key=lambda d: sum(map(int.__eq__, d, own)))
    yield echo.stop // 8, likest[: len(own)]
