"""Breaches that several protocols have in common: a header cut short, an option out of bounds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from framecheck.core.finding import Breach
from framecheck.core.layer import Group, Layer
from framecheck.core.view import View
from framecheck.judging._measure import lacks
from framecheck.judging._tools import many, there

_SINGLE = (0, 1)


def too_few(layer: Layer, view: View, least: int, what: str) -> Iterator[Breach]:
    """The breach that a header is of which too few octets are there, in a frame that is not cut.

    ``what``: the whole of it in a sentence, ``a UDP header has``.
    """
    if layer.room >= least:
        return
    # An IP header itself is never in another fragment.
    lost = view.cut if layer.kind in ("ipv4", "ipv6") else lacks(view)
    if not lost:
        says = f"{many(layer.room)}, {what} {least}"
        yield Breach((there(layer, view),), layer.room, least, says)


def bad_lengths(options: Iterable[Group]) -> Iterator[Breach]:
    """Options of IPv4 or TCP whose length leaves out their first octets, or leads past the end."""
    for option in options:
        length = option.length.number if option.length is not None else None
        short = length is not None and length < 2
        if option.code not in _SINGLE and (option.missing or short):
            claims = "no length" if length is None else f"a length of {length}"
            left = many((option.stop - option.start) // 8)
            says = f"option {option.code} has {claims}, {left} can be its own"
            yield Breach((option.span,), length, None, says)


def bad_padding(layer: Layer) -> Iterator[Breach]:
    """Octets behind the end of a header's options that are not zero."""
    padding = layer.get("padding")
    if padding is not None and any(padding.raw):
        shown = padding.raw.hex()
        yield Breach((padding.span,), shown, 0, f"{shown} stands behind the end of the options")
