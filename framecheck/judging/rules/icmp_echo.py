"""Echo replies against the requests of the same log."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._echo import REPLY, differs
from framecheck.judging._examples import ICMP, behind, edited


@rule(
    "icmp-echo-data",
    layer="icmp",
    certainty="forbidden",
    source=rfc(1122, "3.2.2.6"),
    example=behind((ICMP.hex(),), edited(REPLY, (50, "a5a5")), ((50, 52),)),
)
def echo_data(icmp: Layer, view: View) -> Iterator[Breach]:
    """An echo reply returns the data of the request, all of them and unchanged.

    Where the log holds the request and its sum was right, the reply is known octet for octet. What
    differs was changed by the one who answered or on the way, though the reply's own sum may hold.
    """
    yield from differs(icmp, view)
