"""Padding: what stands behind the end that a length field gives."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import ICMP, UDP, breaking
from framecheck.judging._tools import filled, many, tags, there

_SHORTEST, _TAG = 60, 4


@rule(
    "padding-not-zero",
    layer="padding",
    certainty="suspicious",
    source=rfc(894, "Frame Format"),
    example=breaking(UDP, ((50, 54),), (50, "6b656570"), resum=False),
)
def not_zero(padding: Layer, view: View) -> Iterator[Breach]:
    """Padding is octets of zero.

    IP does not look at it. Other octets are what an old buffer held, which tells strangers what
    the machine had in memory, or a transfer that went on for longer than the frame.
    """
    found = filled(view.part(padding.start, padding.stop), padding.start)
    if found is not None:
        span, count = found
        observed = view.part(span.start, span.stop).hex()
        yield Breach((span,), observed, None, f"{many(count)} of the padding not zero")


@rule(
    "padding-behind-long-frame",
    layer="padding",
    certainty="suspicious",
    source=rfc(894, "Frame Format"),
    example=breaking(ICMP, ((74, 78),), (74, "00000000"), resum=False),
)
def behind_long_frame(padding: Layer, view: View) -> Iterator[Breach]:
    """A frame that is long enough needs no padding.

    Octets behind the datagram's end are an FCS or status word of the adapter, a transfer
    rounded up to whole words, or a total length that came out too small.
    """
    # A sender may pad before the tags go in, and leave an FCS's worth behind an untagged frame.
    length, padded_to = len(view.octets), _SHORTEST + _TAG * max(1, tags(view))
    if length > padded_to and padding.start < padding.stop:
        span = there(padding, view)
        behind = (span.stop - span.start) // 8
        says = f"{many(behind)} behind the end, in a frame of {length}"
        yield Breach((span,), behind, 0, says)
