"""What is known of the network and its hosts: masks that servers gave out, and who sums UDP."""

from __future__ import annotations

from framecheck.core.frame import Doubt
from framecheck.core.view import View
from framecheck.judging._dhcp import options
from framecheck.judging._memory import Subject, put

MOST_NETWORKS, MOST_HOSTS = 16, 256
_MASK = 1
_LEAST_HOST_BITS = 2


class Habits:
    """Networks, and hosts that sum what they send."""

    def __init__(self) -> None:
        self._networks: dict[tuple[int, int], None] = {}
        self._sums: dict[bytes, None] = {}

    def is_broadcast(self, address: bytes) -> bool:
        """Whether an address is the broadcast of a network whose mask the log tells."""
        number = int.from_bytes(address, "big")
        return any(
            number & mask == network and (number | mask) == 0xFFFFFFFF
            for network, mask in self._networks
        )

    def sums(self, address: bytes) -> bool:
        """Whether this host has sent a datagram of UDP with a checksum."""
        return address in self._sums

    def note(self, number: int, view: View) -> None:
        """Keep what a frame tells."""
        if not any(v.name == "udp-checksum" and v.outcome == "match" for v in view.verdicts):
            return
        ip, dhcp = view.find("ipv4"), view.find("dhcp")
        if ip is not None:
            put(self._sums, ip["source_address"].raw, None, MOST_HOSTS)
        if dhcp is None or dhcp.number("op") != 2:
            return
        mask, given = options(dhcp).numbers.get(_MASK), dhcp.get("yiaddr")
        if mask is None or given is None or not given.number:
            return
        hosts = mask ^ 0xFFFFFFFF
        if hosts & (hosts + 1) == 0 and hosts.bit_length() >= _LEAST_HOST_BITS:
            put(self._networks, (given.number & mask, mask), None, MOST_NETWORKS)

    def doubts(self) -> tuple[Doubt, ...]:
        """Nothing is ever open here."""
        return ()


HABITS = Subject(f"the newest {MOST_NETWORKS} networks and {MOST_HOSTS} hosts", Habits)
