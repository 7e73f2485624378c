"""What the rules about fragments of IPv4 and of IPv6 share: parts that contradict each other."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach
from framecheck.core.layer import Layer
from framecheck.core.span import Span
from framecheck.core.view import View
from framecheck.judging._tools import many
from framecheck.judging.memory.fragments import Datagram, Fragments, Part, part_of


def _known(layer: Layer, view: View) -> tuple[Part, Datagram] | None:
    """The fragment that this layer makes of the frame, and what came of its datagram before."""
    part = part_of(view) if view.past is not None else None
    if part is None or view.past is None or (part.ip.kind == "ipv4") != (layer.kind == "ipv4"):
        return None
    found = view.past.of(Fragments).known(part)
    return None if found is None or found.abandoned else (part, found)


def overlaps(layer: Layer, view: View) -> Iterator[Breach]:
    """The breach that a fragment is which brings octets that came before, once a fragment."""
    known = _known(layer, view)
    if known is None:
        return
    part, datagram = known
    again = datagram.overlapped(part)
    if not again:
        return
    by = part.at - part.offset
    here = tuple(Span.of_octets(a + by, b + by) for a, b in again)
    first = part.offset
    pairs = (
        zip(part.data[a - first : b - first], datagram.data[a:b], strict=True) for a, b in again
    )
    differ = sum(x != y for both in pairs for x, y in both)
    frame = datagram.brought(again[0])
    who = "an earlier fragment" if frame is None else f"frame {frame}"
    count = many(sum(b - a for a, b in again))
    says = f"{count} from octet {again[0][0]} of the datagram on came with {who} too"
    says += f", {differ} of them otherwise" if differ else ", the same"
    yield Breach(here, part.offset, None, says)


def other_end(layer: Layer, view: View) -> Iterator[Breach]:
    """The breach that a fragment is which says otherwise than an earlier one where the end is."""
    known = _known(layer, view)
    wanted = known[1].other_end(known[0]) if known is not None else None
    if known is None or wanted is None:
        return
    part = known[0]
    spans = (layer["more_fragments"].span, layer["fragment_offset"].span)
    first, stop = min(s.start for s in spans), max(s.stop for s in spans)
    what = "ends the datagram" if part.last else "goes on"
    says = f"the fragment {what} at octet {part.stop}, earlier ones put the end at {wanted}"
    if known[1].end is None:
        says = f"the last fragment ends at octet {part.stop}, an earlier one reaches to {wanted}"
    yield Breach((Span(first, stop),), part.stop, wanted, says)
