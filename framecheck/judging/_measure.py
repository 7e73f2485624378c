"""What verdicts share: how a sum or length is declared, summed over, and found wrong."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from framecheck.core.finding import Breach, Outcome, Verdict
from framecheck.core.layer import Layer
from framecheck.core.span import Span
from framecheck.core.sums import checksum, ones_sum, pseudo_header, pseudo_header_ipv6
from framecheck.core.view import View

_IPV6_HEADER = 40
_HOME_ADDRESS = 0xC9


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


def carrier(layer: Layer, view: View) -> Layer | None:
    """The IP header below a transport, over the extension headers of IPv6; None without one."""
    below = view.below(layer)
    while below is not None and below.kind.startswith("ipv6-"):
        below = view.below(below)
    return below if below is not None and below.kind in ("ipv4", "ipv6") else None


def extensions(ip: Layer, view: View) -> tuple[Layer, ...]:
    """The extension headers behind an IPv6 header, in their order."""
    found: list[Layer] = []
    above = view.above(ip)
    while above is not None and above.kind.startswith("ipv6-"):
        found.append(above)
        above = view.above(above)
    return tuple(found)


def _is_part(header: Layer) -> bool:
    return header.number("more_fragments") != 0 or header.number("fragment_offset") != 0


def is_fragment(ip: Layer, view: View) -> bool:
    """Whether a datagram is a part of a larger one, or cannot be shown not to be."""
    if ip.kind == "ipv4":
        return _is_part(ip)
    return any(x.kind == "ipv6-fragment" and _is_part(x) for x in extensions(ip, view))


def lacks(view: View) -> bool:
    """Whether octets are lost to the input's edge, or are in other fragments."""
    if view.cut:
        return True
    for layer in view.layers:
        if layer.kind in ("ipv4", "ipv6") and not layer.quoted and is_fragment(layer, view):
            return True
    return False


def claimed(ip: Layer) -> int | None:
    """Octets that a datagram says it has, its header included; None when that cannot be known."""
    if ip.kind == "ipv4":
        return ip.number("total_length")
    length = ip.number("payload_length")
    # A jumbo payload has its length elsewhere (RFC 2675 3).
    jumbo = length == 0 and ip.number("next_header") == 0
    return None if length is None or jumbo else _IPV6_HEADER + length


def header(ip: Layer) -> int | None:
    """Octets of an IP header, extension headers of IPv6 not counted."""
    if ip.kind == "ipv6":
        return _IPV6_HEADER
    ihl = ip.number("ihl")
    return None if ihl is None else ihl * 4


def is_whole(ip: Layer, view: View) -> bool:
    """Whether all octets that a datagram claims are there, in one piece."""
    total, own = claimed(ip), header(ip)
    return (
        total is not None
        and own is not None
        and own <= total <= ip.room
        and ip.whole("destination_address")
        and not is_fragment(ip, view)
    )


def pseudo(ip: Layer, view: View, protocol: int, length: int) -> bytes | None:
    """The pseudo-header of a transport over IPv4 or IPv6; None when its addresses are elsewhere.

    RFC 8200 8.1: with a routing header on its way, the destination is the last in the route; the
    home address option likewise stands for the source (RFC 6275 6.3, from memory).
    """
    source, destination = ip["source_address"].raw, ip["destination_address"].raw
    if ip.kind == "ipv4":
        return pseudo_header(source, destination, protocol, length)
    for extension in extensions(ip, view):
        if extension.number("segments_left") or extension.group(_HOME_ADDRESS) is not None:
            return None
    return pseudo_header_ipv6(source, destination, protocol, length)


def transport(layer: Layer, view: View, name: str, protocol: int, stop: int | None) -> Verdict:
    """The checksum of a transport with its pseudo-header (RFC 768, RFC 9293 3.1, RFC 8200 8.1).

    ``stop``: bit behind the last octet that is summed; None when that cannot be known.
    """
    field = layer.get("checksum")
    whole = field is not None and field.whole
    carried = field.number if field is not None and whole else None
    place = field.span if field is not None else None
    ip = carrier(layer, view)
    if ip is None or not whole or field is None or carried is None:
        return Verdict(name, "unverifiable", carried, None, place, ())
    if stop is None or stop > min(layer.limit, len(view.octets) * 8):
        return Verdict(name, "unverifiable", carried, None, place, (Span(layer.start, layer.stop),))
    source, destination = ip["source_address"], ip["destination_address"]
    ends = pseudo(ip, view, protocol, (stop - layer.start) >> 3)
    if ends is None:
        return Verdict(name, "unverifiable", carried, None, place, (Span(layer.start, stop),))
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


def whole_transport(layer: Layer, view: View, name: str, protocol: int) -> Verdict:
    """The checksum of a transport that has no length of its own, up to the end that IP gives."""
    ip = carrier(layer, view)
    whole = ip is not None and is_whole(ip, view)
    return transport(layer, view, name, protocol, layer.limit if whole else None)


def length_of(ip: Layer, view: View, name: str, field_name: str) -> Verdict:
    """Whether an IP length holds its header and is held by the frame; padding may follow."""
    field = ip.get(field_name)
    if field is None or not field.whole:
        return Verdict(name, "unverifiable", None, None, field.span if field else None, ())
    carried, covers = field.number, (field.span,)
    total, own = claimed(ip), max(20, header(ip) or 0)
    if total is None:
        return Verdict(name, "unverifiable", carried, None, field.span, covers)
    # What the field counts: all of an IPv4 datagram, what stands behind the header of an IPv6 one.
    uncounted = total - carried
    if total < own:
        says = f"shorter than its own header of {own} octets"
        computed = None if view.cut else ip.room
        return Verdict(name, "mismatch", carried, computed, field.span, covers, says)
    if total <= ip.room:
        return Verdict(name, "match", carried, carried, field.span, covers)
    # A header that is not all there has a rule of its own.
    if view.cut or ip.room < uncounted:
        return Verdict(name, "unverifiable", carried, None, field.span, covers)
    says = f"{total - ip.room} more than the {ip.room - uncounted} octets that are there"
    right = ip.room - uncounted
    return Verdict(name, "mismatch", carried, right, field.span, covers, says)


def _outcome(carried: int, right: int, ends: bytes, protocol: int) -> tuple[Outcome, str]:
    if not carried and protocol == 17:
        return "absent", ""
    # 0000 and FFFF are the same number in one's complement, and verify alike.
    if carried % 0xFFFF == right % 0xFFFF:
        return "match", ""
    half = ones_sum(ends)
    # Some drivers leave the length out; it stands last over IPv4, before the number over IPv6.
    unsized = ones_sum(ends[:-2] if len(ends) < _IPV6_HEADER else ends[:32] + ends[36:])
    if carried in (half, unsized) and protocol in (6, 17):
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
    covers = (Span(layer.start, stop),)
    # Not "field equals computed": 0000 and FFFF verify alike, but all zeros sum to 0000 and fail.
    if ones_sum(view.part(layer.start, stop)) == 0xFFFF:
        return Verdict(name, "match", carried, carried, field.span, covers)
    right = checksum(view.part(layer.start, field.start), view.part(field.stop, stop))
    return Verdict(name, "mismatch", carried, right, field.span, covers, swap_says(carried, right))
