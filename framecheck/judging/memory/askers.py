"""Requests of ARP and of DHCP, to hold the answers against."""

from __future__ import annotations

from framecheck.core.frame import Doubt
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._memory import Subject, put

MOST_REQUESTS = 64
_REQUEST = 1
"""ARP operation and BOOTP op alike (RFC 826, RFC 951)."""

Fields = dict[str, bytes]
"""Octets of a request's fields by their names."""


class Askers:
    """The newest requests of hosts that look for a hardware address, or for their own one of IP."""

    def __init__(self) -> None:
        self._arp: dict[bytes, Fields] = {}
        self._dhcp: dict[bytes, Fields] = {}

    def asked_for(self, address: bytes) -> Fields | None:
        """The newest ARP request for an address of IP, or None."""
        return self._arp.get(address)

    def transaction(self, xid: bytes) -> Fields | None:
        """The newest message of a client in a transaction of DHCP, or None."""
        return self._dhcp.get(xid)

    def note(self, number: int, view: View) -> None:
        """Keep a request; one of DHCP only where its own sum holds, ARP has none."""
        arp, dhcp = view.find("arp"), view.find("dhcp")
        if arp is not None and arp.number("operation") == _REQUEST:
            fields = _octets(arp)
            if "target_protocol_address" in fields and not view.cut:
                put(self._arp, fields["target_protocol_address"], fields, MOST_REQUESTS)
        holds = any(v.name == "udp-checksum" and v.outcome == "match" for v in view.verdicts)
        if dhcp is not None and dhcp.number("op") == _REQUEST and dhcp.whole("chaddr") and holds:
            put(self._dhcp, dhcp["xid"].raw, _octets(dhcp), MOST_REQUESTS)

    def doubts(self) -> tuple[Doubt, ...]:
        """A request without an answer is no doubt."""
        return ()


def _octets(layer: Layer) -> Fields:
    return {f.name: f.raw for f in layer.fields if f.whole}


ASKERS = Subject(f"the newest {MOST_REQUESTS} requests of ARP and of DHCP, field by field", Askers)
