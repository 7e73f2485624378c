"""The hosts of the log: which hardware address goes with which address of IP."""

from __future__ import annotations

from framecheck.core.frame import Doubt
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._memory import Subject, put
from framecheck.judging._tools import address, is_group

MOST_HOSTS = 256
MOST_PARTNERS = 4
"""Addresses that are kept of one host; a router speaks for more and is no single host."""
_SURE = 2
"""Frames that must agree before a pair is taken for granted."""

Counts = dict[bytes, int]


class Hosts:
    """Pairs of addresses that frames without any failed sum have shown."""

    def __init__(self) -> None:
        self._addresses: dict[bytes, Counts] = {}
        """Of each hardware address, its addresses of IP and in how many frames."""
        self._hardware: dict[bytes, Counts] = {}
        """Of each address of IP, its hardware addresses."""

    def hardware_of(self, ip: bytes) -> bytes | None:
        """The one hardware address that an address of IP goes with, when that is sure."""
        return _only(self._hardware.get(ip, {}))

    def address_of(self, hardware: bytes, length: int) -> bytes | None:
        """The one address of IP, of so many octets, of a hardware address, when that is sure."""
        own = {a: n for a, n in self._addresses.get(hardware, {}).items() if len(a) == length}
        return _only(own)

    def knows(self, either: bytes) -> bool:
        """Whether a host was seen with this address."""
        return either in self._addresses or either in self._hardware

    def note(self, number: int, view: View) -> None:
        """Keep the pairs of a frame against which no sum speaks."""
        link = view.layers[0] if view.layers else None
        if link is None or link.kind != "ethernet" or not link.whole("source"):
            return
        if any(v.outcome == "mismatch" for v in view.verdicts) or view.cut:
            return
        for hardware, ip in pairs(link, view):
            if hardware[0] & 1 or is_group(ip) or not any(ip) or ip == b"\xff" * 4:
                continue
            self._count(self._addresses, hardware, ip)
            self._count(self._hardware, ip, hardware)

    def doubts(self) -> tuple[Doubt, ...]:
        """Nothing is ever open here."""
        return ()

    @staticmethod
    def _count(kept: dict[bytes, Counts], key: bytes, partner: bytes) -> None:
        found = kept.get(key, {})
        if partner in found or len(found) <= MOST_PARTNERS:
            found[partner] = found.get(partner, 0) + 1
        put(kept, key, found, MOST_HOSTS)


def pairs(link: Layer, view: View) -> list[tuple[bytes, bytes]]:
    """Hardware address and address of IP of sender and receiver, as a frame has them."""
    if not link.whole("source"):
        return []
    arp, ip = view.find("arp"), view.find("ipv4") or view.find("ipv6")
    if not link.whole("destination", "source"):
        return []
    source = link["source"].raw
    if arp is not None:
        spa = address(arp, "sender_protocol_address")
        same = address(arp, "sender_hardware_address") == source
        return [(source, spa)] if spa is not None and len(spa) == 4 and same else []
    if ip is None or not ip.whole("destination_address"):
        return []
    ends = ip["source_address"].raw, ip["destination_address"].raw
    return [(source, ends[0]), (link["destination"].raw, ends[1])]


def _only(counts: Counts) -> bytes | None:
    if len(counts) != 1:
        return None
    ((partner, count),) = counts.items()
    return partner if count >= _SURE else None


HOSTS = Subject(
    f"the newest {MOST_HOSTS} addresses and up to {MOST_PARTNERS + 1} that go with each", Hosts
)
