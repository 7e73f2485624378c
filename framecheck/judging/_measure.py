"""What verdicts share: how a sum or length is declared, summed over, and found wrong."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from framecheck.core.finding import Breach, Outcome, Verdict
from framecheck.core.layer import Layer
from framecheck.core.span import Span
from framecheck.core.sums import checksum, ones_sum, pseudo_header
from framecheck.core.view import View


class Measure(NamedTuple):
    """One checksum or length: the layer that carries it, and how it is verified."""

    name: str
    layer: str
    take: Callable[[Layer, View], Verdict | None]
    """The verdict for one such layer; None when there is nothing to say."""


def measure(
    name: str, *, layer: str
) -> Callable[[Callable[[Layer, View], Verdict | None]], Measure]:
    """Make a measure of a function from a layer to its verdict."""

    def declare(take: Callable[[Layer, View], Verdict | None]) -> Measure:
        return Measure(name, layer, take)

    return declare


def octets_of(start: int, stop: int) -> str:
    """A half-open range of octets in words."""
    return f"octet 0x{start:x}" if stop - start == 1 else f"octets 0x{start:x} to 0x{stop - 1:x}"


def failed(layer: Layer, view: View, name: str) -> Iterator[Verdict]:
    """The mismatch of this name whose field stands in this layer, if there is one."""
    for verdict in view.verdicts:
        here = verdict.field is not None and layer.start <= verdict.field.start < layer.stop
        if here and verdict.name == name and verdict.outcome == "mismatch":
            yield verdict


def mismatch(layer: Layer, view: View, name: str, what: str) -> Iterator[Breach]:
    """The breach that a failed sum of this layer is; nothing when it did not fail.

    ``what``: the sum's name in a sentence.
    """
    for verdict in failed(layer, view, name):
        # The addresses of a pseudo-header belong to the layer below, whose own sum vouches.
        own = tuple(s for s in verdict.covers if s.start >= layer.start)
        more = f"; {verdict.says}" if verdict.says else ""
        says = f"the {what} carries {verdict.carried:04x}, the octets give {verdict.computed:04x}"
        yield Breach(own, verdict.carried, verdict.computed, says + more)


def misfit(layer: Layer, view: View, name: str, what: str) -> Iterator[Breach]:
    """The breach that an impossible length of this layer is; nothing when the length can be.

    ``what``: the length's name in a sentence.
    """
    for verdict in failed(layer, view, name):
        says = f"the {what} is {verdict.carried}, {verdict.says}"
        yield Breach(verdict.covers, verdict.carried, verdict.computed, says)


def is_fragment(ip: Layer) -> bool:
    """Whether an IPv4 datagram is a part of a larger one, or cannot be shown not to be."""
    return ip.number("more_fragments") != 0 or ip.number("fragment_offset") != 0


def lacks(view: View) -> bool:
    """Whether octets are lost to the input's edge, or are in other fragments."""
    ip = view.find("ipv4")
    return view.cut or (ip is not None and is_fragment(ip))


def is_whole(ip: Layer, view: View) -> bool:
    """Whether all octets that an IPv4 datagram claims are there, in one piece."""
    total, ihl = ip.number("total_length"), ip.number("ihl")
    return (
        total is not None
        and ihl is not None
        and ihl * 4 <= total <= ip.room
        and ip.whole("destination_address")
        and not is_fragment(ip)
    )


def transport(layer: Layer, view: View, name: str, protocol: int, stop: int | None) -> Verdict:
    """The checksum of UDP or TCP over IPv4, with its pseudo-header (RFC 768, RFC 9293 3.1).

    ``stop``: bit behind the last octet that is summed; None when that cannot be known.
    """
    field = layer.get("checksum")
    whole = field is not None and field.whole
    carried = field.number if field is not None and whole else None
    place = field.span if field is not None else None
    ip = view.below(layer)
    if ip is None or ip.kind != "ipv4" or not whole or field is None or carried is None:
        return Verdict(name, "unverifiable", carried, None, place, ())
    if stop is None or stop > min(layer.limit, len(view.octets) * 8):
        return Verdict(name, "unverifiable", carried, None, place, (Span(layer.start, layer.stop),))
    source, destination = ip["source_address"], ip["destination_address"]
    data = view.part(layer.start, stop)
    ends = pseudo_header(source.raw, destination.raw, protocol, len(data))
    right = 0xFFFF ^ ones_sum(
        ends, view.part(layer.start, field.start), view.part(field.stop, stop)
    )
    covers = (Span(source.start, destination.stop), Span(layer.start, stop))
    if protocol == 17:
        right = right or 0xFFFF
    outcome, says = _outcome(carried, right, ends, protocol)
    if outcome == "match":
        right = carried
    return Verdict(name, outcome, carried, right, field.span, covers, says)


def _outcome(carried: int, right: int, ends: bytes, protocol: int) -> tuple[Outcome, str]:
    if not carried and protocol == 17:
        return "absent", ""
    # 0000 and FFFF are the same number in one's complement, and verify alike.
    if carried % 0xFFFF == right % 0xFFFF:
        return "match", ""
    half = ones_sum(ends)
    unsized = ones_sum(ends[:-2])
    if carried in (half, unsized):
        return "partial", "the sum of the pseudo-header alone, left to the adapter to finish"
    if carried in (0xFFFF ^ half, 0xFFFF ^ unsized):
        return "mismatch", "the field holds the complement of the pseudo-header's sum alone"
    if carried == swapped(half):
        return "mismatch", "the field holds the pseudo-header's sum with its octets exchanged"
    return "mismatch", swap_says(carried, right)


def swapped(word: int) -> int:
    """A 16-bit word with its octets exchanged."""
    return (word & 0xFF) << 8 | word >> 8


def swap_says(carried: int, right: int) -> str:
    """What to add when the field holds the right value in the other octet order."""
    return "the field holds the right value with its octets exchanged" * (
        carried == swapped(right) and carried != right
    )


def plain(layer: Layer, view: View, name: str, field_name: str, stop: int | None) -> Verdict:
    """An internet checksum over one stretch from the layer's start, with no pseudo-header."""
    field = layer.get(field_name)
    if field is None or not field.whole:
        place = field.span if field is not None else None
        return Verdict(name, "unverifiable", None, None, place, ())
    carried = field.number
    if stop is None or stop > min(layer.limit, len(view.octets) * 8) or stop < field.stop:
        span = Span(layer.start, layer.stop)
        return Verdict(name, "unverifiable", carried, None, field.span, (span,))
    right = checksum(view.part(layer.start, field.start), view.part(field.stop, stop))
    covers = (Span(layer.start, stop),)
    # Not "field equals computed": 0000 and FFFF verify alike, but all zeros sum to 0000 and fail.
    if ones_sum(view.part(layer.start, stop)) == 0xFFFF:
        return Verdict(name, "match", carried, carried, field.span, covers)
    return Verdict(name, "mismatch", carried, right, field.span, covers, swap_says(carried, right))
