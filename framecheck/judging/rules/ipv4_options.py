"""IPv4 options: their lengths, their pointers, what stands behind them (RFC 791 3.1)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, practice, rfc, rule
from framecheck.core.layer import Group, Layer
from framecheck.core.view import View
from framecheck.judging._examples import UDP, inserting
from framecheck.judging._shapes import bad_lengths, bad_padding

_ROUTER_ALERT = 148
_LEAST_POINTER = {7: 4, 131: 4, 137: 4, 68: 5}
"""Record route, loose and strict source route; timestamp."""


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
    example=inserting(UDP, ((34, 38),), "07090400"),
)
def option_length(ip: Layer, view: View) -> Iterator[Breach]:
    """An option's length counts its two first octets and ends within the header.

    0 and 1 have no length. A host answers a bad one with ICMP 12/0.
    """
    if _all_there(ip, view):
        yield from bad_lengths(ip.groups)


def _pointer(option: Group) -> int | None:
    """The third octet of an option, None when it has none."""
    return option.data[0] if option.data else None


@rule(
    "ipv4-option-pointer",
    layer="ipv4",
    certainty="impossible",
    source=rfc(791, "3.1"),
    drops="options",
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
