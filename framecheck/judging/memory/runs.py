"""Numbers that go on from frame to frame: identifications, sequence numbers, transactions."""

from __future__ import annotations

from typing import NamedTuple

from framecheck.core.frame import Doubt
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._measure import carrier
from framecheck.judging._memory import Subject, put

MOST_RUNS = 128
_LEAST = 3
"""Steps that must agree before a run is taken for one."""


class Run(NamedTuple):
    """A number that rose by the same step from frame to frame."""

    last: int
    step: int
    steps: int
    """How many times in a row."""


class Runs:
    """What the newest frames, whose own sums hold, say comes next."""

    def __init__(self) -> None:
        self._identifications: dict[tuple[bytes, bytes, int], Run] = {}
        self._sequences: dict[tuple[bytes, ...], int] = {}
        self._transactions: dict[bytes, bytes] = {}

    def identification(self, ip: Layer) -> int | None:
        """The identification that a datagram should have; None when it does not follow a run."""
        run = self._identifications.get(_host(ip))
        if run is None or run.steps < _LEAST:
            return None
        return (run.last + run.step) & 0xFFFF

    def sequence(self, tcp: Layer, view: View, back: bool = False) -> int | None:
        """The sequence number that comes next from a segment's sender; ``back``: from the other."""
        flow = _flow(tcp, view)
        return self._sequences.get(flow[::-1] if back else flow) if flow else None

    def transaction(self, dhcp: Layer) -> bytes | None:
        """The transaction in which a client was seen last."""
        return self._transactions.get(dhcp["chaddr"].raw)

    def note(self, number: int, view: View) -> None:
        """Keep what a frame says comes next, where its sums hold."""
        held = {v.name for v in view.verdicts if v.outcome == "match"}
        ip, tcp, dhcp = view.find("ipv4"), view.find("tcp"), view.find("dhcp")
        if ip is not None and "ipv4-header-checksum" in held:
            self._rise(_host(ip), ip["identification"].number)
        if tcp is not None and "tcp-checksum" in held:
            flow = _flow(tcp, view)
            if flow:
                put(self._sequences, flow, _next(tcp), MOST_RUNS)
        if dhcp is not None and "udp-checksum" in held and dhcp.whole("chaddr"):
            put(self._transactions, dhcp["chaddr"].raw, dhcp["xid"].raw, MOST_RUNS)

    def doubts(self) -> tuple[Doubt, ...]:
        """A run is never at its end."""
        return ()

    def _rise(self, host: tuple[bytes, bytes, int], now: int) -> None:
        run = self._identifications.get(host)
        step = 0 if run is None else (now - run.last) & 0xFFFF
        same = run is not None and step == run.step and 0 < step <= 4
        new = Run(now, step, run.steps + 1 if same and run is not None else 0)
        put(self._identifications, host, new, MOST_RUNS)


def _host(ip: Layer) -> tuple[bytes, bytes, int]:
    """Whose count of datagrams this is: many hosts count for each receiver and protocol alone."""
    return ip["source_address"].raw, ip["destination_address"].raw, ip["protocol"].number


def _flow(tcp: Layer, view: View) -> tuple[bytes, ...]:
    """The ends of a connection, sender first; empty when they are not all there."""
    ip = carrier(tcp, view)
    if ip is None or not ip.whole("destination_address") or not tcp.whole("destination_port"):
        return ()
    ports = tcp["source_port"].raw, tcp["destination_port"].raw
    return ip["source_address"].raw + ports[0], ip["destination_address"].raw + ports[1]


def _next(tcp: Layer) -> int:
    """The sequence number behind a segment (RFC 9293 3.4: SYN and FIN count as one octet each)."""
    size = tcp.room - (tcp.number("data_offset") or 0) * 4
    marks = (tcp.number("syn") or 0) + (tcp.number("fin") or 0)
    return (tcp["sequence_number"].number + size + marks) & 0xFFFFFFFF


RUNS = Subject(
    f"the newest {MOST_RUNS} of each: hosts that count datagrams, connections, clients of DHCP",
    Runs,
)
