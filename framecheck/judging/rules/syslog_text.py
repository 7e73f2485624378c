"""Syslog: octets that lines of text rarely hold on purpose (RFC 5424 6.4, from memory)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.span import Range, Span
from framecheck.core.view import View
from framecheck.judging._examples import breaking, over_udp
from framecheck.judging._measure import lacks
from framecheck.judging._text import controls, undecodable, unended

_LINE = over_udp(b"<12>frost alarm".hex(), 514, 514)
_ALLOWED = b"\t\n\r\x1b"
"""Blanks, ends of lines, and what begins the colours of a terminal."""


def _line(syslog: Layer, view: View) -> bytes:
    return unended(view.part(syslog.start, syslog.stop))


def _breach(syslog: Layer, line: bytes, found: tuple[Range, ...], what: str) -> Iterator[Breach]:
    if found:
        first = syslog.start // 8
        spans = tuple(Span.of_octets(first + a, first + b) for a, b in found)
        shown = b"".join(line[a:b] for a, b in found)[:32].hex()
        yield Breach(spans, shown, None, f"{what} in the line: {shown}")


@rule(
    "syslog-text-octets",
    layer="syslog",
    certainty="suspicious",
    source=memory("RFC 5424", "6.4"),
    lenient="common collectors, which take the line",
    example=breaking(_LINE, ((48, 49),), (48, "0f")),
)
def text_octets(syslog: Layer, view: View) -> Iterator[Breach]:
    """A line of text holds no control characters but blanks, line ends and colours.

    A zero at its end is common, and nothing is said of it.
    """
    line = _line(syslog, view)
    yield from _breach(syslog, line, controls(line, _ALLOWED), "control characters")


@rule(
    "syslog-text-encoding",
    layer="syslog",
    certainty="unusual",
    source=memory("RFC 5424", "6.4"),
    example=breaking(_LINE, ((48, 49),), (48, "ef")),
)
def text_encoding(syslog: Layer, view: View) -> Iterator[Breach]:
    """A line of text is UTF-8, of which ASCII is a part; older devices write other sets."""
    line = _line(syslog, view)
    if not lacks(view):
        yield from _breach(syslog, line, undecodable(line), "other than UTF-8")
