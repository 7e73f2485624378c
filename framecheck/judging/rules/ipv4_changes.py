"""IPv4 headers whose sum fails, against what the same hosts sent before."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, practice, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._changes import changed, fails
from framecheck.judging._examples import ICMP, TCP, UDP, behind, edited
from framecheck.judging._hosts import other_address
from framecheck.judging.memory.runs import Runs

_BEFORE = (UDP.hex(), ICMP.hex())
_SUM = "ipv4-header-checksum"
_COUNTED = tuple(edited(UDP, (18, f"12{n:02x}")).hex() for n in range(0x34, 0x39))


@rule(
    "ipv4-source-changed",
    layer="ipv4",
    certainty="suspicious",
    source=practice("a host keeps its address"),
    example=behind(_BEFORE, edited(TCP, (29, "03"), resum=False), ((29, 30),)),
)
def source_changed(ip: Layer, view: View) -> Iterator[Breach]:
    """A host sends from the address that it had in earlier frames.

    Said where the header checksum fails, so that nothing vouches for the address, and one slip
    makes it of the one that this hardware address had before.
    """
    if fails(view, _SUM):
        yield from other_address(ip, view, "source")


@rule(
    "ipv4-destination-changed",
    layer="ipv4",
    certainty="suspicious",
    source=practice("a host keeps its address"),
    example=behind(_BEFORE, edited(TCP, (32, "0202"), (32, "42"), resum=False), ((32, 33),)),
)
def destination_changed(ip: Layer, view: View) -> Iterator[Breach]:
    """A datagram is for the address that its receiver had in earlier frames.

    Said where the header checksum fails and one slip makes the address of the one that this
    hardware address had before.
    """
    if fails(view, _SUM):
        yield from other_address(ip, view, "destination")


@rule(
    "ipv4-identification-run",
    layer="ipv4",
    certainty="suspicious",
    source=practice("many hosts count their datagrams"),
    example=behind(_COUNTED, edited(UDP, (18, "5239"), resum=False), ((18, 19),)),
)
def identification_run(ip: Layer, view: View) -> Iterator[Breach]:
    """A host that counts its datagrams goes on counting.

    Said where the header checksum fails, the earlier frames from this host to this receiver were
    counted by equal steps, and one slip makes this number of the next.
    """
    field = ip.get("identification")
    if view.past is None or field is None or not field.whole or not fails(view, _SUM):
        return
    wanted = view.past.of(Runs).identification(ip) if ip.whole("destination_address") else None
    if wanted is not None:
        says = f"the identification is {field.number:04x}, the next in the run is {wanted:04x}"
        yield from changed(field, wanted.to_bytes(2, "big"), says)
