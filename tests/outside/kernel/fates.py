"""Our fate of a frame for the host that the frames are shown to, and whether a host agrees."""

from __future__ import annotations

from collections.abc import Sequence
from ipaddress import IPv4Address, IPv6Address
from typing import NamedTuple

from framecheck.core.finding import Finding, Host
from framecheck.core.layer import Layer
from framecheck.core.sheet import Fate
from framecheck.core.view import View
from framecheck.judging import fate, judge
from framecheck.judging.fate import STEPS
from framecheck.layers import decode_frame
from tests.outside.kernel.host import IPV4, IPV6, TCP_PORTS, UDP_PORTS
from tests.outside.kernel.meaning import DELIVERED, OWN, Ends

_IPV4 = IPv4Address(IPV4).packed
_IPV6 = tuple(IPv6Address(address).packed for address in IPV6)

_FOR_ANOTHER = ("host-ip-address", "host-solicited-address")


class Judged(NamedTuple):
    """A frame with all that we say of it."""

    octets: bytes
    layers: tuple[Layer, ...]
    findings: Sequence[Finding]
    fate: Fate

    def layer(self, kind: str) -> Layer | None:
        """The first layer of a kind that is not a quoted copy."""
        return next((x for x in self.layers if x.kind == kind and not x.quoted), None)

    def has(self, *kinds: str) -> bool:
        """Whether it has a layer of one of these kinds."""
        return any(self.layer(k) is not None for k in kinds)


def _port(layers: Sequence[Layer]) -> int:
    """The host listens on several ports, the option takes one: the one that is meant, if any."""
    for kind, ours in (("udp", UDP_PORTS), ("tcp", TCP_PORTS)):
        layer = next((x for x in layers if x.kind == kind and not x.quoted), None)
        if layer is not None:
            port = layer.number("destination_port")
            return port if port in ours else ours[0]
    return UDP_PORTS[0]


def judged(octets: bytes) -> Judged:
    """What we say of a frame, for the host; of its two IPv6 addresses, the one it is for."""
    layers = decode_frame(octets)
    newer = any(x.kind == "ipv6" and not x.quoted for x in layers)
    found = [_for(octets, layers, address) for address in (_IPV6 if newer else (_IPV4,))]
    ours = (j for j in found if j.fate.rule not in _FOR_ANOTHER)
    return next(ours, max(found, key=lambda j: _reach(j.fate)))


def _for(octets: bytes, layers: Sequence[Layer], address: bytes) -> Judged:
    view = View(octets, layers, host=Host(OWN, address, _port(layers)))
    _, findings = judge(view)
    return Judged(octets, tuple(layers), findings, fate(view, findings))


def _reach(said: Fate) -> int:
    """How far a frame comes: the place of the step that ends it, or behind all steps."""
    return len(STEPS) if said.step is None else STEPS.index(said.step)


def agrees(said: Fate, ends: Ends) -> bool:
    """Whether a host that ended the frame in one of these ways did what we say.

    Where we leave a step open, the host may end the frame there or further on.
    """
    if said.outcome == "delivered":
        return DELIVERED in ends
    if said.outcome == "dropped":
        return said.step in ends
    at = _reach(said)
    return DELIVERED in ends or any(STEPS.index(e) >= at for e in ends)
