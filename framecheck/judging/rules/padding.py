"""Padding: what stands behind the end that a length field gives."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.span import Span
from framecheck.core.view import View
from framecheck.judging._examples import ICMP, UDP, breaking
from framecheck.judging._tools import many, there

# With a tag, a bridge may pad to 64 before the FCS or leave the 60 that were there (802.1Q).
_PADDED_TO = 64


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
    octets = view.part(padding.start, padding.stop)
    filled = [i for i, octet in enumerate(octets) if octet]
    if filled:
        first = padding.start + filled[0] * 8
        stop = padding.start + filled[-1] * 8 + 8
        observed = view.part(first, stop).hex()
        says = f"{many(len(filled))} of the padding not zero"
        yield Breach((Span(first, stop),), observed, None, says)


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
    length = len(view.octets)
    if length > _PADDED_TO and padding.start < padding.stop:
        span = there(padding, view)
        behind = (span.stop - span.start) // 8
        says = f"{many(behind)} behind the end, in a frame of {length}"
        yield Breach((span,), behind, 0, says)
