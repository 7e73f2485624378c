"""LCP: lengths, codes, options, and a magic number that is none (RFC 1661, from memory)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._configuration import in_session, packet_rules
from framecheck.judging._examples import breaking
from framecheck.judging._tools import at

_SIZES = {1: (4, 4), 2: (6, 6), 3: (4, 0), 4: (4, 0), 5: (6, 6), 7: (2, 2), 8: (2, 2)}
_REQUEST, _MAGIC = 1, 5

length, code_unknown, option_length, option_size = packet_rules(
    "lcp", "LCP", 0xC021, 15, _SIZES, "050601020304"
)


@rule(
    "lcp-magic-number-zero",
    layer="lcp",
    certainty="forbidden",
    source=memory("RFC 1661", "6.4"),
    lenient="hosts, which refuse the option and go on",
    example=breaking(in_session(0xC021, "0101000a" + "050600000000"), ((28, 32),)),
)
def magic_number_zero(lcp: Layer, view: View) -> Iterator[Breach]:
    """A magic number that is asked for is not zero: it is there to find a line that echoes."""
    option = lcp.group(_MAGIC) if lcp.number("code") == _REQUEST else None
    field = option.get("magic_number") if option is not None else None
    if field is not None and field.whole and not field.number:
        yield at(field, None, "the magic number is 0")
