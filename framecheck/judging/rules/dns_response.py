"""DNS: response codes of the base set."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import DNS_ANSWER, breaking
from framecheck.judging._tools import at

_LAST = 5


@rule(
    "dns-response-code-unusual",
    layer="dns",
    certainty="unusual",
    source=rfc(1035, "4.1.1"),
    example=breaking(DNS_ANSWER, ((45, 46),), (45, "0b")),
)
def response_code_unusual(dns: Layer, view: View) -> Iterator[Breach]:
    """Response codes from 0 to 5 are those of questions; others belong to changes of zones."""
    number = dns.number("rcode")
    if number is not None and number > _LAST and dns.number("qr") and dns.number("opcode") != 5:
        yield at(dns["rcode"], None, f"response code {number}")
