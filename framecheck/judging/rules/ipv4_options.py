"""IPv4 options: their lengths, their pointers, what stands behind them (RFC 791 3.1)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, practice, rfc, rule
from framecheck.core.layer import Group, Layer
from framecheck.core.view import View
from framecheck.judging._examples import UDP, inserting
from framecheck.judging._shapes import bad_lengths, bad_padding
from framecheck.judging._tools import many

_LOOSE, _STRICT = 131, 137
_RECORD_ROUTE, _TIMESTAMP, _ROUTER_ALERT = 7, 68, 148
_LEAST_POINTER = {7: 4, 131: 4, 137: 4, 68: 5}
"""Record route, loose and strict source route; timestamp."""

_SIZES = {136: (4, 4), 148: (4, 4), 7: (3, 255), 131: (3, 255), 137: (3, 255), 68: (4, 255)}
"""Least and most length of a whole option, its first two octets counted."""


def _all_there(ip: Layer, view: View) -> bool:
    """Whether the header that IHL claims is in the frame, so that its options can be judged."""
    ihl = ip.number("ihl")
    return ihl is not None and ihl > 5 and ihl * 4 <= ip.room


@rule(
    "ipv4-option-length",
    layer="ipv4",
    certainty="impossible",
    source=rfc(1122, "3.2.1.8"),
    drops="options",
    lenient="small stacks, which step over all options",
    example=inserting(UDP, ((34, 38),), "07090400"),
)
def option_length(ip: Layer, view: View) -> Iterator[Breach]:
    """An option's length counts its two first octets and ends within the header.

    0 and 1 have no length. A host answers a bad one with ICMP 12/0.
    """
    if _all_there(ip, view):
        yield from bad_lengths(ip.groups)


@rule(
    "ipv4-option-size",
    layer="ipv4",
    certainty="impossible",
    source=rfc(791, "3.1"),
    drops="options",
    lenient="small stacks, which step over all options; common hosts do not look at all kinds",
    example=inserting(UDP, ((34, 37),), "94030000"),
)
def option_size(ip: Layer, view: View) -> Iterator[Breach]:
    """Each kind of option has its own length.

    Stream identifier and router alert 4 (the latter by RFC 2113), a route at least 3, a timestamp
    at least 4.
    """
    if not _all_there(ip, view):
        return
    for option in ip.groups:
        length = option.length.number if option.length is not None else None
        low, high = _SIZES.get(option.code, (2, 255))
        if length is None or length < 2 or option.missing or low <= length <= high:
            continue  # one that is shorter than itself is broken whatever its kind
        wanted = low if low == high else f"at least {low}"
        says = f"option {option.code} has a length of {length}, it can only have {wanted}"
        yield Breach((option.span,), length, wanted, says)


def _pointer(option: Group) -> int | None:
    """The third octet of an option, None when it has none."""
    return option.data[0] if option.data else None


@rule(
    "ipv4-option-pointer",
    layer="ipv4",
    certainty="impossible",
    source=rfc(791, "3.1"),
    drops="options",
    lenient="small stacks, which step over all options",
    example=inserting(UDP, ((34, 41),), "0707030000000000"),
)
def option_pointer(ip: Layer, view: View) -> Iterator[Breach]:
    """A route's pointer begins at 4, a timestamp's at 5.

    It counts from the option's first octet. A host answers a smaller one with ICMP 12/0.
    """
    if not _all_there(ip, view):
        return
    for option in ip.groups:
        least, pointer = _LEAST_POINTER.get(option.code), _pointer(option)
        if least is not None and pointer is not None and pointer < least and not option.missing:
            says = f"the pointer of option {option.code} is {pointer}, at least {least} can be"
            yield Breach((option.span,), pointer, least, says)


@rule(
    "ipv4-option-room",
    layer="ipv4",
    certainty="forbidden",
    source=rfc(791, "3.1"),
    drops="options",
    lenient="small stacks, which step over all options",
    example=inserting(UDP, ((34, 42),), "0708080000000000"),
)
def option_room(ip: Layer, view: View) -> Iterator[Breach]:
    """A recorded route or a timestamp option that is not full has room for a whole entry.

    An address and a timestamp take 4 octets each. A datagram with less room is in error: a host
    answers it with ICMP 12/0. A pointer past the end says that the option is full.
    """
    if not _all_there(ip, view):
        return
    for option in ip.groups:
        pointer, size = _pointer(option), (option.stop - option.start) // 8
        if pointer is None or option.missing or option.code not in (_RECORD_ROUTE, _TIMESTAMP):
            continue
        stamped = option.code == _TIMESTAMP and len(option.data) > 1 and option.data[1] & 15
        entry, room = 8 if stamped in (1, 3) else 4, size - pointer + 1
        if _LEAST_POINTER[option.code] <= pointer <= size and room < entry:
            says = f"option {option.code} has room for {many(room)}, an entry takes {entry}"
            yield Breach((option.span,), room, entry, says)


@rule(
    "ipv4-option-repeated",
    layer="ipv4",
    certainty="forbidden",
    source=rfc(791, "3.1"),
    drops="options",
    lenient="small stacks, which step over all options",
    example=inserting(UDP, ((41, 48),), "0707040000000007070400000000" + "0000"),
)
def option_repeated(ip: Layer, view: View) -> Iterator[Breach]:
    """A route and a timestamp option appear at most once in a datagram.

    Loose and strict source route count as one: a datagram can go along one route only. A host
    answers a second one with ICMP 12/0.
    """
    if not _all_there(ip, view):
        return
    seen: set[int] = set()
    for option in ip.groups:
        kind = _STRICT if option.code == _LOOSE else option.code
        if kind in _LEAST_POINTER and kind in seen:
            says = f"option {option.code} is the second of its kind"
            yield Breach((option.span,), option.code, None, says)
        seen.add(kind)


@rule(
    "ipv4-option-padding",
    layer="ipv4",
    certainty="suspicious",
    source=rfc(791, "3.1"),
    example=inserting(UDP, ((35, 38),), "00a5a5a5"),
)
def option_padding(ip: Layer, view: View) -> Iterator[Breach]:
    """Behind the end of the options the header is padded with zeros."""
    if _all_there(ip, view):
        yield from bad_padding(ip)


@rule(
    "ipv4-options-present",
    layer="ipv4",
    certainty="unusual",
    source=practice("options are rare on a LAN"),
    example=inserting(UDP, ((34, 38),), "01010100"),
)
def options_present(ip: Layer, view: View) -> Iterator[Breach]:
    """Options are rare; only group membership carries one every day, the router alert."""
    codes = [g.code for g in ip.groups]
    if _all_there(ip, view) and codes and _ROUTER_ALERT not in codes:
        span = type(ip.groups[0].span)(ip.groups[0].start, ip.stop)
        shown = ", ".join(map(str, codes[:8]))
        yield Breach((span,), shown, None, f"the header has options: {shown}")
