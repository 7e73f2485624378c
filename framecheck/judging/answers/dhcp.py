"""A server's message repeats the transaction and the hardware of the client (RFC 2131 table 3)."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import rfc
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._answers import Answer, Repeated, fields
from framecheck.judging.memory.askers import Askers

_REPLY = 2
_REPEATED = ("htype", "hlen", "xid", "flags", "giaddr", "chaddr")


def _repeats(dhcp: Layer, view: View) -> Iterator[Repeated]:
    if view.past is None or dhcp.number("op") != _REPLY or not dhcp.whole("xid"):
        return
    request = view.past.of(Askers).transaction(dhcp["xid"].raw)
    if request is not None:
        yield from fields(dhcp, {n: request[n] for n in _REPEATED if n in request})


DHCP = Answer(rfc(2131, "4.3.1, table 3"), _repeats)
