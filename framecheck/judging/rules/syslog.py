"""Syslog: the number in front of a line (RFC 5424 6.2.1, RFC 3164 4.1.1; from memory)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import breaking, over_udp
from framecheck.judging._tools import at

_MOST = 191
_LINE = b"<192>frost alarm".hex()


@rule(
    "syslog-priority",
    layer="syslog",
    certainty="suspicious",
    source=memory("RFC 5424", "6.2.1"),
    lenient="common collectors, which take the line",
    example=breaking(over_udp(_LINE, 514, 514), ((42, 47),)),
)
def priority(syslog: Layer, view: View) -> Iterator[Breach]:
    """A priority is at most 191: 23 facilities of 8 severities behind the first."""
    field = syslog.get("pri")
    if field is None or not field.whole:
        return
    digits = field.raw[1:-1]
    if digits.isdigit() and int(digits) > _MOST:
        yield at(field, None, f"the priority is {int(digits)}, at most {_MOST} can be")
