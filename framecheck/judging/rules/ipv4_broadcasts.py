"""IPv4 sources that are the broadcast of a network whose mask the log tells."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, rfc, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import OFFER, UDP, behind, edited
from framecheck.judging._tools import address, at, dotted
from framecheck.judging.memory.habits import Habits


@rule(
    "ipv4-source-broadcast",
    layer="ipv4",
    certainty="forbidden",
    source=rfc(1122, "3.2.1.3"),
    drops="source-destination-address",
    lenient="common server kernels, which answer",
    example=behind((OFFER.hex(),), edited(UDP, (26, "c00002ff")), ((26, 30),)),
)
def source_broadcast(ip: Layer, view: View) -> Iterator[Breach]:
    """A datagram does not come from the broadcast address of its network.

    Said for networks whose mask a DHCP server gave out earlier in the log; without the mask nobody
    can tell a broadcast address from a host's.
    """
    source = address(ip, "source_address")
    if view.past is not None and source is not None and view.past.of(Habits).is_broadcast(source):
        says = f"{dotted(source)} is the broadcast address of the network that the server gave out"
        yield at(ip["source_address"], None, says)
