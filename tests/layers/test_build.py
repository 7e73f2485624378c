"""Frames from values: lengths, sums and numbers come out as in frames that others worked out."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from layer_frames import Vector, reference, vectors

from framecheck.core.layer import values
from framecheck.core.sums import ones_sum
from framecheck.layers import build, decode_frame, kind

A, B = bytes.fromhex("00005e005301"), bytes.fromhex("00005e005302")
IP_A, IP_B = bytes((192, 0, 2, 1)), bytes((192, 0, 2, 2))
UNICAST: dict[str, Any] = {"destination": B, "source": A}
BROADCAST: dict[str, Any] = {"destination": b"\xff" * 6, "source": A}
IP = {"identification": 0x1234, "source_address": IP_A, "destination_address": IP_B}
ASKS = {
    "sender_hardware_address": A,
    "sender_protocol_address": IP_A,
    "target_protocol_address": IP_B,
}
SYN = {
    "source_port": 49152,
    "destination_port": 80,
    "sequence_number": 0x01020304,
    "syn": 1,
    "window": 64240,
    "option": [(2, b"\x05\xb4"), (4, b""), (8, b"\0\0\0\1\0\0\0\0"), (1, b""), (3, b"\x07")],
}
DISCOVER = {
    "xid": 0x3903F326,
    "flags": 0x8000,
    "chaddr": A,
    "option": [(53, b"\x01"), (61, b"\x01" + A), (55, b"\x01\x03\x06"), (255, b"")],
    "padding": bytes(42),
}
BUILT: dict[str, tuple[list[tuple[str, dict[str, Any]]], bytes]] = {
    "arp-request": ([("ethernet", BROADCAST), ("arp", ASKS)], b""),
    "vlan-arp-request": (
        [("ethernet", BROADCAST), ("vlan", {"vlan_identifier": 100}), ("arp", ASKS)],
        bytes(18),
    ),
    "snap-arp-request": (
        [("ethernet", BROADCAST), ("llc", {}), ("snap", {}), ("arp", ASKS)],
        b"",
    ),
    "icmp-echo": (
        [
            ("ethernet", UNICAST),
            ("ipv4", IP),
            ("icmp", {"type": 8, "identifier": 0x1234, "sequence_number": 1}),
        ],
        bytes(range(0x10, 0x30)),
    ),
    "udp-hello": (
        [
            ("ethernet", UNICAST),
            ("ipv4", IP),
            ("udp", {"source_port": 5000, "destination_port": 5001}),
        ],
        b"hello",
    ),
    "tcp-syn": (
        [("ethernet", UNICAST), ("ipv4", {**IP, "dont_fragment": 1}), ("tcp", SYN)],
        b"",
    ),
    "dns-query": (
        [
            ("ethernet", UNICAST),
            ("ipv4", IP),
            ("udp", {"source_port": 53000, "destination_port": 53}),
            ("dns", {"id": 0xBEEF, "rd": 1, "records": [("example.com", 1, 1)]}),
        ],
        b"",
    ),
    "dhcp-discover": (
        [
            ("ethernet", BROADCAST),
            ("ipv4", {**IP, "source_address": bytes(4), "destination_address": b"\xff" * 4}),
            ("udp", {"source_port": 68, "destination_port": 67}),
            ("dhcp", DISCOVER),
        ],
        b"",
    ),
}


@pytest.mark.parametrize("name", sorted(BUILT))
def test_reference_frames_come_out_octet_by_octet(name: str) -> None:
    """Their sums were worked out with an independent packet library and zlib."""
    layers, payload = BUILT[name]

    assert build(layers, payload, 60).hex() == reference()[name].hex()


def test_a_computed_zero_is_sent_as_all_ones() -> None:
    """RFC 768; the example was worked out with an independent packet library."""
    udp = {"source_port": 5000, "destination_port": 5001}
    frame = build([("ipv4", IP), ("udp", udp)], bytes.fromhex("54c5"))

    assert frame[20:].hex() == "13881389000affff54c5"


def test_a_value_that_is_given_stands_even_when_it_is_wrong() -> None:
    frame = build([("ethernet", UNICAST), ("ipv4", {**IP, "total_length": 7, "ihl": 4})], b"x")

    layer = decode_frame(frame)[1]
    assert (layer["total_length"].value, layer["ihl"].value) == (7, 4)
    assert ones_sum(frame[14:34]) == 0xFFFF


def test_an_unknown_kind_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        build([("token-ring", {})])


@pytest.mark.parametrize("vector", vectors(), ids=lambda v: f"{v.kind}-{v.name}")
def test_any_vector_is_built_again_from_its_values(vector: Vector) -> None:
    layers = decode_frame(vector.octets, vector.starts_at)
    again = [
        (x.kind, values(kind(x.kind), vector.octets, x.start, x.limit))
        for x in layers
        if x.kind not in ("payload", "padding")
    ]
    rest = b"".join(bytes(x.fields[0].raw) for x in layers if x.kind in ("payload", "padding"))

    assert build(again, rest) == vector.octets


NUMBER = st.integers(0, 65535)


@settings(max_examples=100, deadline=None)
@given(st.binary(max_size=300), NUMBER, NUMBER, st.binary(min_size=8, max_size=8))
def test_any_datagram_is_built_with_sums_that_hold(
    payload: bytes, source: int, destination: int, ends: bytes
) -> None:
    import dpkt

    ip = {"source_address": ends[:4], "destination_address": ends[4:]}
    ports = {"source_port": source, "destination_port": destination}
    for transport in ("udp", "tcp"):
        octets = build([("ipv4", ip), (transport, ports)], payload)
        theirs = dpkt.ip.IP(octets)
        carried = theirs.sum, theirs.data.sum
        theirs.sum = theirs.data.sum = 0
        again = dpkt.ip.IP(bytes(theirs))
        assert carried == (again.sum, again.data.sum)
