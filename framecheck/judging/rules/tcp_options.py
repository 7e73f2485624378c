"""TCP options: their lengths, and which stand only in a SYN (RFC 9293 3.2, RFC 7323, RFC 2018)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rfc, rule
from framecheck.core.layer import Group, Layer
from framecheck.core.view import View
from framecheck.judging._examples import TCP, breaking
from framecheck.judging._shapes import bad_lengths, bad_padding

_ONLY_WITH_SYN = {2: "maximum segment size", 3: "window scale", 4: "SACK permitted"}
_MOST_SHIFT = 14


def _options(tcp: Layer) -> tuple[Group, ...]:
    """The options, none when the header that the data offset claims is not all there."""
    offset = tcp.number("data_offset")
    return tcp.groups if offset is not None and offset > 5 and offset * 4 <= tcp.room else ()


@rule(
    "tcp-option-length",
    layer="tcp",
    certainty="impossible",
    source=rfc(9293, "3.1"),
    lenient="common hosts stop at the option and answer all the same",
    example=breaking(TCP, ((71, 74),), (71, "030903")),
)
def option_length(tcp: Layer, view: View) -> Iterator[Breach]:
    """An option's length counts its two first octets and ends within the header.

    0 and 1 have no length. What stands behind a bad one cannot be read.
    """
    yield from bad_lengths(_options(tcp))


@rule(
    "tcp-option-padding",
    layer="tcp",
    certainty="forbidden",
    source=rfc(9293, "MUST-69"),
    example=breaking(TCP, ((71, 74),), (70, "00a5a5a5")),
)
def option_padding(tcp: Layer, view: View) -> Iterator[Breach]:
    """Behind the end of the options the header is padded with zeros."""
    if _options(tcp):
        yield from bad_padding(tcp)


def _fits(code: int, length: int) -> bool:
    """Whether an option of this kind has this length, code and length counted."""
    if code == 5:
        return length in (10, 18, 26, 34)
    if code == 34:
        return length == 2 or (6 <= length <= 18 and length % 2 == 0)
    if code == 29:
        return length >= 4
    return length == {2: 4, 3: 3, 4: 2, 8: 10, 19: 18, 28: 4}.get(code, length)


@rule(
    "tcp-option-size",
    layer="tcp",
    certainty="impossible",
    source=memory("RFC 7323, RFC 2018 3, RFC 9293 3.2"),
    lenient="common hosts, which ignore the option",
    example=breaking(TCP, ((54, 57),), (54, "02030501")),
)
def option_size(tcp: Layer, view: View) -> Iterator[Breach]:
    """Each kind of option has its own length.

    Maximum segment size 4, window scale 3, SACK permitted 2, SACK 2 and 8 a block, timestamps 10.
    """
    for option in _options(tcp):
        field = option.length
        if field is None or option.missing or field.number < 2:
            continue
        if not _fits(option.code, field.number):
            says = f"option {option.code} has a length of {field.number}, which it cannot have"
            yield Breach((option.span,), field.number, None, says)


@rule(
    "tcp-option-without-syn",
    layer="tcp",
    certainty="forbidden",
    source=rfc(9293, "3.2"),
    lenient="common hosts, which ignore the option",
    example=breaking(TCP, ((54, 58), (58, 60), (71, 74)), (47, "10")),
)
def option_without_syn(tcp: Layer, view: View) -> Iterator[Breach]:
    """Segment size, window scale and SACK permitted are agreed on in the SYN and only there."""
    if tcp.number("syn") != 0:
        return
    found = [o for o in _options(tcp) if o.code in _ONLY_WITH_SYN]
    if found:
        named = ", ".join(_ONLY_WITH_SYN[o.code] for o in found[:4])
        spans = tuple(o.span for o in found)
        yield Breach(spans, named, None, f"a segment without SYN carries: {named}")


@rule(
    "tcp-window-scale-shift",
    layer="tcp",
    certainty="forbidden",
    source=rfc(1323, "2.3"),
    lenient="all hosts: they use 14 and go on",
    example=breaking(TCP, ((71, 74),), (73, "0f")),
)
def window_scale_shift(tcp: Layer, view: View) -> Iterator[Breach]:
    """A window is shifted by at most 14 bits."""
    for option in _options(tcp):
        if option.code == 3 and len(option.data) == 1 and option.data[0] > _MOST_SHIFT:
            shift = option.data[0]
            says = f"the window scale is {shift}, at most {_MOST_SHIFT} can be"
            yield Breach((option.span,), shift, _MOST_SHIFT, says)
