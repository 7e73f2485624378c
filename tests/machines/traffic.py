"""What the wire carries: recorded traffic, the first frames of a bring-up, probes of one's own.

Frames shorter than 60 octets are padded as a wire does (IEEE 802.3).
"""

from __future__ import annotations

import random
import struct
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path

import dpkt

FOLDER = Path(__file__).parents[2] / "vectors/traffic"
RECORDINGS = ("offload-off.pcap", "rare.pcap", "ipv6.pcap")
SHORTEST, LONGEST = 60, 1514
BOARD, BENCH = bytes.fromhex("00005e005301"), bytes.fromhex("00005e005302")
SWEEP = (
    *(1023, 1514, 1117, 1019, 1272, 249, 1022, 508, 1018, 1021, 309, 1501),
    *(546, 718, 102, 1020, 1511, 127, 255, 61, 63, 95, 511, 66),
)
"""Lengths that part most families once or twice."""


def padded(frame: bytes) -> bytes:
    """As it is on the wire, without the FCS."""
    return frame.ljust(SHORTEST, b"\0")


@cache
def recorded() -> tuple[bytes, ...]:
    """Recorded frames in their order."""
    found = []
    for name in RECORDINGS:
        with (FOLDER / name).open("rb") as file:
            found += [padded(o) for _, o in dpkt.pcap.Reader(file) if len(o) <= LONGEST]
    return tuple(found)


def ordinary(random_: random.Random, count: int = 20) -> list[bytes]:
    """Frames of the recordings, from several places, in their order."""
    every = recorded()
    starts = sorted(random_.sample(range(len(every) - 5), -(-count // 5)))
    return [every[start + i] for start in starts for i in range(5)][:count]


def sweep(random_: random.Random, count: int = len(SWEEP)) -> list[bytes]:
    """Probes of the sweep's lengths, each with contents of its own."""
    return [probe(size, random_) for size in SWEEP[:count]]


def probe(size: int, random_: random.Random) -> bytes:
    """A frame of a local experimental type; octets of even parity that do not repeat by rule."""
    even = [n for n in range(256) if n.bit_count() % 2 == 0]
    return BOARD + BENCH + b"\x88\xb5" + bytes(random_.choices(even, k=size - 14))


def bring_up(random_: random.Random, count: int = 20) -> list[bytes]:
    """ARP, echo and DHCP as a bench sees them before anything else works."""
    makers: Sequence[Callable[[random.Random, int], bytes]] = (_arp, _echo, _echo, _dhcp)
    return [padded(random_.choice(makers)(random_, turn)) for turn in range(count)]


def _arp(random_: random.Random, turn: int) -> bytes:
    fields = struct.pack("!HHBBH", 1, 0x0800, 6, 4, 2)
    addresses = BENCH + bytes((192, 0, 2, 1)) + BOARD + bytes((192, 0, 2, 7))
    return BOARD + BENCH + b"\x08\x06" + fields + addresses


def _echo(random_: random.Random, turn: int) -> bytes:
    size = random_.choice((18, 32, 56, 56, 56, 100, 300))
    data = bytes((i + turn) & 255 for i in range(size))
    head = struct.pack("!BBHHH", 0, 0, 0, 0x1234, turn)
    return _ipv4(1, _summed(head + data, 2), turn)


def _dhcp(random_: random.Random, turn: int) -> bytes:
    fixed = struct.pack("!BBBBIHH", 2, 1, 6, 0, random_.getrandbits(32), 0, 0)
    addresses = bytes(4) + bytes((192, 0, 2, 7, 192, 0, 2, 1)) + bytes(4) + BOARD + bytes(10)
    options = bytes.fromhex("638253633501023604c00002013304000151800104ffffff00ff")
    message = (fixed + addresses + bytes(192) + options).ljust(300, b"\0")
    udp = struct.pack("!HHHH", 67, 68, 8 + len(message), 0) + message
    ends = bytes((192, 0, 2, 1, 192, 0, 2, 7, 0, 17)) + struct.pack("!H", len(udp))
    return _ipv4(17, _summed(udp, 6, ends), turn)


def _ipv4(protocol: int, data: bytes, turn: int) -> bytes:
    head = struct.pack("!BBHHHBBH", 0x45, 0, 20 + len(data), turn, 0, 64, protocol, 0)
    head += bytes((192, 0, 2, 1, 192, 0, 2, 7))
    return BOARD + BENCH + b"\x08\x00" + _summed(head, 10) + data


def _summed(octets: bytes, at: int, ends: bytes = b"") -> bytes:
    """With its internet checksum at ``at``, by dpkt's arithmetic."""
    value = dpkt.dpkt.in_cksum(ends + octets)
    return octets[:at] + struct.pack("!H", value) + octets[at + 2 :]


TRAFFIC: dict[str, Callable[[random.Random], list[bytes]]] = {
    "sweep": sweep,
    "ordinary": ordinary,
    "bring-up": bring_up,
}
