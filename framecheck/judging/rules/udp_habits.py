"""UDP: a sum that came out as zero, from a host that sums."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import UDP, behind, edited
from framecheck.judging._measure import carrier
from framecheck.judging._tools import at
from framecheck.judging.memory.habits import Habits

_ALL_ONES = 0xFFFF
# The last word of the data makes the sum of all others come out as zero.
_SUMMED = edited(UDP, (16, "0022"), (38, "000e"), (42, "68656c6c7feb"))
_FORGOTTEN = edited(_SUMMED, (40, "0000"), resum=False)


@rule(
    "udp-checksum-zero-sent",
    layer="udp",
    certainty="forbidden",
    source=rfc(768, "Fields"),
    lenient="all hosts over IPv4, which take it for a datagram without a checksum",
    example=behind((UDP.hex(),), _FORGOTTEN, ((40, 42),)),
)
def zero_sent(udp: Layer, view: View) -> Iterator[Breach]:
    """A checksum that comes out as zero is sent as ffff; 0000 says that there is none.

    Said where the sum of the datagram does come out as zero and its sender summed an earlier one:
    then it did not leave the checksum out, it forgot to exchange it.
    """
    ip = carrier(udp, view)
    if view.past is None or ip is None or not ip.whole("source_address"):
        return
    for verdict in view.verdicts:
        place = verdict.field is not None and udp.start <= verdict.field.start < udp.stop
        zero = verdict.outcome == "absent" and verdict.computed == _ALL_ONES
        if place and zero and view.past.of(Habits).sums(ip["source_address"].raw):
            says = "the checksum comes out as zero and is sent as 0000, not as ffff"
            yield at(udp["checksum"], _ALL_ONES, says)
