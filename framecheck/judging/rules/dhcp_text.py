"""DHCP: octets that host names and other texts rarely hold on purpose (RFC 2132 2)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.span import Span
from framecheck.core.view import View
from framecheck.judging._dhcp import options
from framecheck.judging._examples import DISCOVER, breaking
from framecheck.judging._text import LETTERS, beyond, controls, unended

_TEXTS = frozenset((12, 14, 15, 17, 18, 40, 56, 64, 66, 67, 100, 101))
"""Options that are strings of NVT ASCII: names, paths, messages."""
_HOST_NAME = 12
_PRINTED = frozenset(range(32, 127))
_NAMED = "350101" + "0c05" + b"frost".hex() + "ff"
_BASE = ((282, _NAMED.ljust(36, "0")),)


def _texts(dhcp: Layer) -> Iterator[tuple[int, int, bytes]]:
    """Each text: what it is the option of, its first octet in the frame, and what stands there."""
    for part in options(dhcp).parts:
        if part.code not in _TEXTS or not part.whole:
            continue
        value = part.group.value
        if value is not None:
            yield part.code, value.start // 8, unended(value.raw)


@rule(
    "dhcp-text-octets",
    layer="dhcp",
    certainty="suspicious",
    source=memory("RFC 2132", "2"),
    lenient="all hosts",
    example=breaking(DISCOVER, ((289, 290),), *_BASE, (289, "06")),
)
def text_octets(dhcp: Layer, view: View) -> Iterator[Breach]:
    """Names, paths and messages among the options hold no control characters.

    A zero at their end is common, and nothing is said of it.
    """
    for code, first, octets in _texts(dhcp):
        found = controls(octets)
        if found:
            spans = tuple(Span.of_octets(first + a, first + b) for a, b in found)
            shown = b"".join(octets[a:b] for a, b in found).hex()
            yield Breach(spans, shown, None, f"control characters in option {code}: {shown}")


@rule(
    "dhcp-text-alphabet",
    layer="dhcp",
    certainty="unusual",
    source=memory("RFC 2132", "2 and 3.14"),
    example=breaking(DISCOVER, ((289, 290),), *_BASE, (289, "e6")),
)
def text_alphabet(dhcp: Layer, view: View) -> Iterator[Breach]:
    """Texts among the options are ASCII; host names are letters, digits, hyphens and points."""
    for code, first, octets in _texts(dhcp):
        alphabet = LETTERS | frozenset(b".") if code == _HOST_NAME else _PRINTED
        found = beyond(octets, alphabet)
        if found:
            spans = tuple(Span.of_octets(first + a, first + b) for a, b in found)
            shown = b"".join(octets[a:b] for a, b in found).hex()
            yield Breach(spans, shown, None, f"other than its alphabet in option {code}: {shown}")
