"""The datagram that the last fragment makes whole: judged as a host judges it, above IP.

What a rule says of it is pinned to the octets that this frame brought; what stands in earlier
frames was judged there, as far as a part can be.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import NamedTuple

from framecheck.core.finding import Finding, Verdict
from framecheck.core.span import Span
from framecheck.core.sums import checksum
from framecheck.core.view import View, Whole
from framecheck.judging.memory.fragments import Fragments, Part, part_of
from framecheck.layers import decode_frame

_OF_IP = ("ipv4", "ipv6", "padding", "payload")
_TOGETHER = "all fragments taken together"
_MOST_LENGTH = 65535


class _Place(NamedTuple):
    """Where this frame's octets stand in the datagram, in bits."""

    ip: int
    """First of the IP header, in the frame."""
    data: int
    """First of what this frame brought, in the frame."""
    length: int
    first: int
    """First of the data, in the datagram."""
    begin: int
    """First of what this frame brought, in the datagram."""

    def here(self, span: Span) -> Span | None:
        """A span of the datagram as one of this frame; None where this frame brought none of it."""
        if span.stop <= self.first:
            return Span(span.start + self.ip, span.stop + self.ip)
        start, stop = max(span.start, self.begin), min(span.stop, self.begin + self.length)
        by = self.data - self.begin
        return Span(start + by, stop + by) if start < stop else None

    @property
    def brought(self) -> Span:
        """All that this frame brought, in the frame."""
        return Span(self.data, self.data + self.length)


def together(
    view: View, examined: Callable[[View], tuple[Finding, ...]], said: tuple[Finding, ...]
) -> tuple[Finding, ...]:
    """What is to be said of the datagram that this frame makes whole; nothing if it makes none.

    ``view.whole`` and ``view.verdicts`` are filled. ``examined``: what judges a view; ``said``:
    what was said of the frame by itself, and is not said again.
    """
    part = part_of(view) if view.past is not None else None
    if part is None or view.past is None:
        return ()
    known = view.past.of(Fragments).known(part)
    joined = known.whole_with(part) if known is not None else None
    if known is None or joined is None or (part.key[0] == 6 and known.overlapped(part)):
        return ()
    head = _head(view, part, *joined)
    if head is None:
        return ()
    octets = head + joined[0]
    inner = View(octets, decode_frame(octets, part.ip.kind), on_wire=view.on_wire, host=view.host)
    above = tuple(f for f in examined(inner) if _is_above(f.layer))
    view.whole = Whole(inner, above)
    first = len(head) * 8
    place = _Place(part.ip.start, part.at * 8, len(part.data) * 8, first, first + part.offset * 8)
    failed = _exchange(view, inner.verdicts, place)
    findings = (_pinned(f, place, f.rule in failed) for f in above)
    known_already = {(f.rule, f.spans) for f in said}
    return tuple(f for f in findings if f.spans and (f.rule, f.spans) not in known_already)


def _is_above(layer: str | None) -> bool:
    return layer is not None and layer not in _OF_IP and not layer.startswith("ipv6-")


def _head(view: View, part: Part, data: bytes, protocol: int) -> bytes | None:
    """This frame's IP header for the whole datagram, its length, number and sum set anew."""
    start = part.ip.start // 8
    fragment = view.find("ipv6-fragment")
    head = bytearray(view.octets[start : part.at])
    if part.ip.kind == "ipv4":
        total = len(head) + len(data)
        head[2:4] = (total & _MOST_LENGTH).to_bytes(2, "big")
        head[6:8] = head[10:12] = bytes(2)
        head[10:12] = checksum(bytes(head)).to_bytes(2, "big")
        return bytes(head) if total <= _MOST_LENGTH else None
    below = view.below(fragment) if fragment is not None else None
    if fragment is None or below is None or below.get("next_header") is None:
        return None
    del head[fragment.start // 8 - start :]
    total = len(head) - 40 + len(data)
    head[4:6] = (total & _MOST_LENGTH).to_bytes(2, "big")
    # The number of the next header stands in front of the one that is taken out.
    head[below["next_header"].start // 8 - start] = protocol
    return bytes(head) if total <= _MOST_LENGTH else None


def _exchange(view: View, verdicts: Iterable[Verdict], place: _Place) -> set[str]:
    """Put the datagram's verdicts in place of what could not be verified; names that failed."""
    failed = set()
    for verdict in verdicts:
        if verdict.name.startswith(("ipv4-", "ipv6-")):
            continue
        field = place.here(verdict.field) if verdict.field is not None else None
        covers = tuple(s for c in verdict.covers if (s := place.here(c)) is not None)
        view.verdicts[:] = [
            v for v in view.verdicts if v.name != verdict.name or v.outcome != "unverifiable"
        ]
        more = f"{verdict.says}; {_TOGETHER}" if verdict.says else _TOGETHER
        view.verdicts.append(verdict._replace(field=field, covers=covers, says=more, blamed=()))
        if verdict.outcome == "mismatch":
            failed.add(verdict.name)
    return failed


def _pinned(finding: Finding, place: _Place, failed: bool) -> Finding:
    """A finding on the octets that this frame brought; on all of them for a failed sum or length.

    Its spans are empty where all that it speaks of stands in earlier frames.
    """
    spans = tuple(s for c in finding.spans if (s := place.here(c)) is not None)
    if not spans and failed:
        spans = (place.brought,)
    return finding._replace(spans=spans, says=f"{finding.says}; {_TOGETHER}")
