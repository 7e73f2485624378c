"""Echo replies of IPv6 against the requests of the same log."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, memory, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._echo import REPLY_IPV6, differs
from framecheck.judging._examples import ECHO_IPV6, behind, edited


@rule(
    "icmpv6-echo-data",
    layer="icmpv6",
    certainty="forbidden",
    # The sentence was read in RFC 1885 4.2, which this one carries on.
    source=memory("RFC 4443", "4.2"),
    example=behind((ECHO_IPV6.hex(),), edited(REPLY_IPV6, (63, "a5")), ((63, 64),)),
)
def echo_data(icmpv6: Layer, view: View) -> Iterator[Breach]:
    """An echo reply returns the data of the request, all of them and unchanged.

    Where the log holds the request and its sum was right, the reply is known octet for octet. What
    differs was changed by the one who answered or on the way, though the reply's own sum may hold.
    """
    yield from differs(icmpv6, view)
