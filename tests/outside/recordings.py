"""The recordings of ``vectors/traffic``, frame by frame, and how another library reads them."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import dpkt

FOLDER = Path(__file__).parents[2] / "vectors/traffic"
SUMMED = "offload-off.pcap"
LEFT = "offload-on.pcap"
RARE = "rare.pcap"
TAGGED = "tagged.pcapng"
LOSSES = "losses.pcapng"
NEWER = "ipv6.pcap"
SOUND = (SUMMED, RARE, TAGGED, LOSSES)
"""Those whose every sum is real."""
ALL = (*SOUND, LEFT, NEWER)


@cache
def frames(name: str) -> tuple[bytes, ...]:
    """The octets of every record, in order."""
    reader = dpkt.pcapng.Reader if name.endswith("ng") else dpkt.pcap.Reader
    with (FOLDER / name).open("rb") as file:
        return tuple(octets for _, octets in reader(file))


def ethernet(octets: bytes) -> Any:
    """The frame as dpkt reads it."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return dpkt.ethernet.Ethernet(octets)


def stack(octets: bytes) -> Iterator[tuple[int, Any]]:
    """Offset and object of each header that dpkt finds, outermost first."""
    at, layer = 0, ethernet(octets)
    while isinstance(layer, dpkt.Packet):
        yield at, layer
        at += layer.__hdr_len__ + len(getattr(layer, "opts", b""))
        at += 4 * len(getattr(layer, "vlan_tags", ()))
        if isinstance(layer, dpkt.llc.LLC) and layer.is_snap:
            at += 5
        layer = layer.data


def internet(octets: bytes) -> tuple[int, Any] | None:
    """Offset and IPv4 header as dpkt reads it, or None."""
    return next((x for x in stack(octets) if isinstance(x[1], dpkt.ip.IP)), None)


def sum_of(octets: bytes, at: int, stop: int, field: int, ends: bytes = b"") -> int:
    """What dpkt's own arithmetic puts into a sum at ``field``, over octets and pseudo-header."""
    return int(dpkt.dpkt.in_cksum(ends + octets[at:field] + b"\0\0" + octets[field + 2 : stop]))


def pseudo_header(ip: Any, length: int) -> bytes:
    """Addresses, zero, protocol, length (RFC 768), from what dpkt reads."""
    return bytes(ip.src + ip.dst + bytes((0, ip.p)) + length.to_bytes(2, "big"))
