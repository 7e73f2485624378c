"""DHCP options: their lengths, their values, their end (RFC 2132, RFC 2131 4.1)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rfc, rule
from framecheck.core.layer import Group, Layer
from framecheck.core.span import Span
from framecheck.core.view import View
from framecheck.judging._dhcp import END, FIRST_OPTION, OVERLOAD, options
from framecheck.judging._examples import DISCOVER, OFFER, breaking
from framecheck.judging._measure import lacks
from framecheck.judging._tools import filled, many

_LENGTHS: dict[int, tuple[int, int]] = {
    **dict.fromkeys((19, 20, 23, 27, 29, 30, 31, 34, 36, 37, 39, 46, 52, 53), (1, 0)),
    **dict.fromkeys((13, 22, 26, 57), (2, 0)),
    **dict.fromkeys((1, 2, 16, 24, 28, 32, 35, 38, 50, 51, 54, 58, 59), (4, 0)),
    **dict.fromkeys((*range(3, 12), 41, 42, 44, 45, 48, 49, 65, *range(69, 77)), (4, 4)),
    **dict.fromkeys((21, 33), (8, 8)),
    **dict.fromkeys((12, 14, 15, 17, 18, 40, 43, 47, 55, 56, 60, 64, 66, 67), (1, 1)),
    68: (0, 4),
    25: (2, 2),
    61: (2, 1),
    # From memory: RFC 2563, 3011, 3046, 3397, 3442, 4039, 4702, 8925.
    116: (1, 0),
    118: (4, 0),
    82: (2, 1),
    119: (1, 1),
    121: (5, 1),
    80: (0, 0),
    81: (3, 1),
    108: (4, 0),
}
"""Least length, and the step by which it grows; step 0: exactly that length (RFC 2132)."""

_BOOLEANS = (19, 20, 27, 29, 30, 31, 34, 36, 39)
_LEAST_VALUE = {22: 576, 57: 576, 26: 68, 37: 1}
_ALLOWED: dict[int, frozenset[int]] = {
    **dict.fromkeys(_BOOLEANS, frozenset((0, 1))),
    46: frozenset((1, 2, 4, 8)),
    52: frozenset((1, 2, 3)),
    53: frozenset(range(1, 19)),
}
_OVERLOADED = ((1, "file", 108, 236), (2, "sname", 44, 108))


@rule(
    "dhcp-option-beyond-end",
    layer="dhcp",
    certainty="impossible",
    source=rfc(2132, "2"),
    drops="application",
    example=breaking(OFFER, ((315, 342),), (315, "4c4d4e4f5051" + "52" * 21)),
)
def option_beyond_end(dhcp: Layer, view: View) -> Iterator[Breach]:
    """An option ends within the message, or within the field that it stands in."""
    if lacks(view):
        return
    found = options(dhcp)
    for option in (*(p.group for p in found.parts if not p.whole), *found.area[-1:]):
        if option.missing:
            length = option.length.number if option.length is not None else None
            claims = "has no length" if length is None else f"claims {length} octets"
            left = 0 if length is None else length - option.missing
            says = f"option {option.code} {claims}, {left} are left"
            yield Breach((option.span,), length, None, says)
            return


@rule(
    "dhcp-option-length",
    layer="dhcp",
    certainty="forbidden",
    source=rfc(2132, "3 to 9"),
    lenient="clients that skip what they cannot read",
    example=breaking(OFFER, ((291, 296),), (291, "3303000e10ff" + "00" * 19)),
)
def option_length(dhcp: Layer, view: View) -> Iterator[Breach]:
    """An option has the length that its definition gives; parts of one option count together."""
    found = options(dhcp)
    for code, parts in found.together.items():
        known = _LENGTHS.get(code)
        if known is None or not (found.complete or all(p.whole for p in parts)):
            continue
        length = len(parts[0].data) if len(parts) == 1 else sum(len(p.data) for p in parts)
        least, step = known
        fits = length == least if not step else length >= least and (length - least) % step == 0
        if not fits:
            says = f"option {code} has {length} octets, {_wanted(least, step)}"
            yield Breach(tuple(p.group.span for p in parts), length, least, says)


def _wanted(least: int, step: int) -> str:
    if not step:
        return f"exactly {least} are defined"
    more = f" and a multiple of {step}" if step > 1 else ""
    return f"at least {least}{more} are defined"


@rule(
    "dhcp-option-value",
    layer="dhcp",
    certainty="forbidden",
    source=rfc(2132, "3 to 9"),
    example=breaking(DISCOVER, ((299, 303),), (299, "39020100ff")),
)
def option_value(dhcp: Layer, view: View) -> Iterator[Breach]:
    """An option's number is one that its definition allows.

    Sizes have a least value (576 for a datagram, 68 for the MTU), switches are 0 or 1.
    """
    for option in options(dhcp).parts:
        allowed, least = _ALLOWED.get(option.code), _LEAST_VALUE.get(option.code)
        if (allowed is None and least is None) or not option.whole or not option.data:
            continue
        number = int.from_bytes(option.data[:4], "big")
        if allowed is not None and number not in allowed:
            says = f"option {option.code} is {number}, which is not defined"
        elif least is not None and number < least:
            says = f"option {option.code} is {number}, at least {least} can be"
        else:
            continue
        yield Breach((option.group.span,), number, least, says)


@rule(
    "dhcp-end-missing",
    layer="dhcp",
    certainty="forbidden",
    source=rfc(2131, "4.1"),
    lenient="clients that stop at the end of the message",
    example=breaking(OFFER, ((315, 342),), (315, "00")),
)
def end_missing(dhcp: Layer, view: View) -> Iterator[Breach]:
    """The last option is 255."""
    if lacks(view):
        return
    items = options(dhcp).area
    if not items or items[-1].code == END or items[-1].missing:
        return
    says = "the options end without 255"
    yield Breach((Span(items[-1].start, dhcp.stop),), None, END, says)


@rule(
    "dhcp-end-tail",
    layer="dhcp",
    certainty="suspicious",
    source=rfc(2131, "4.1"),
    lenient="clients, which stop at the end",
    example=breaking(OFFER, ((330, 332),), (330, "a5a5")),
)
def end_tail(dhcp: Layer, view: View) -> Iterator[Breach]:
    """Behind option 255 only zeros stand.

    Other octets are left over from what the buffer held before.
    """
    items = options(dhcp).area
    if not items or items[-1].code != END:
        return
    tail = view.part(items[-1].stop, min(dhcp.limit, len(view.octets) * 8))
    left = filled(tail, items[-1].stop)
    if left is not None:
        span, count = left
        shown = view.part(span.start, span.stop).hex()
        yield Breach((span,), shown, 0, f"{many(count)} behind the end not zero")


@rule(
    "dhcp-overload-end",
    layer="dhcp",
    certainty="forbidden",
    source=rfc(2131, "4.1"),
    example=breaking(DISCOVER, ((150, 278),), (150, "0c0161"), (299, "340101ff")),
)
def overload_end(dhcp: Layer, view: View) -> Iterator[Breach]:
    """Where option 52 puts options into file or sname, each of the two ends with 255."""
    overload = options(dhcp).numbers.get(OVERLOAD)
    if overload not in (1, 2, 3) or dhcp.room < FIRST_OPTION:
        return
    for bit, name, first, stop in _OVERLOADED:
        low, high = dhcp.start + first * 8, dhcp.start + stop * 8
        inside = [g for g in dhcp.groups if low <= g.start < high]
        if overload & bit and not _ended(inside):
            says = f"option 52 puts options into {name}, which does not end with 255"
            yield Breach((Span(low, high),), None, END, says)


def _ended(items: list[Group]) -> bool:
    return any(g.code == END for g in items)


@rule(
    "dhcp-option-repeated",
    layer="dhcp",
    certainty="unusual",
    source=memory("RFC 3396", "5"),
    example=breaking(DISCOVER, ((282, 285), (299, 302)), (299, "350101ff")),
)
def option_repeated(dhcp: Layer, view: View) -> Iterator[Breach]:
    """An option that comes more than once is one option in parts."""
    for code, parts in options(dhcp).together.items():
        if len(parts) > 1:
            says = f"option {code} comes {len(parts)} times"
            yield Breach(tuple(p.group.span for p in parts), len(parts), 1, says)
