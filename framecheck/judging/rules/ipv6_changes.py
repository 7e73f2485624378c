"""Addresses of IPv6 for which no sum vouches, against those of the same hosts."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, practice, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._changes import fails
from framecheck.judging._examples import ECHO_IPV6, TCP_IPV6, UDP_IPV6, behind, edited
from framecheck.judging._hosts import other_address

_BEFORE = (UDP_IPV6.hex(), ECHO_IPV6.hex())
_SUMS = ("udp-checksum", "tcp-checksum", "icmpv6-checksum")


@rule(
    "ipv6-source-changed",
    layer="ipv6",
    certainty="suspicious",
    source=practice("a host keeps its address"),
    example=behind(_BEFORE, edited(TCP_IPV6, (37, "11"), resum=False), ((37, 38),)),
)
def source_changed(ip: Layer, view: View) -> Iterator[Breach]:
    """A host sends from the address that it had in earlier frames.

    Said where the checksum of the transport, which covers the addresses, fails, and one slip makes
    the address of the one that this hardware address had before.
    """
    if fails(view, *_SUMS):
        yield from other_address(ip, view, "source")


@rule(
    "ipv6-destination-changed",
    layer="ipv6",
    certainty="suspicious",
    source=practice("a host keeps its address"),
    example=behind(_BEFORE, edited(TCP_IPV6, (53, "00"), resum=False), ((53, 54),)),
)
def destination_changed(ip: Layer, view: View) -> Iterator[Breach]:
    """A datagram is for the address that its receiver had in earlier frames.

    Said where the checksum of the transport fails and one slip makes the address of the one that
    this hardware address had before.
    """
    if fails(view, *_SUMS):
        yield from other_address(ip, view, "destination")
