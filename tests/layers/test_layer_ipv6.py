"""IPv6 and what it carries: against recorded frames, dpkt and ``ipaddress``; chains that lie."""

from __future__ import annotations

import ipaddress
from collections import Counter
from typing import Any

import dpkt
import pytest
from hypothesis import given
from hypothesis import strategies as st
from layer_frames import VECTORS, vectors

from framecheck.core.layer import Layer
from framecheck.layers import build, decode_frame, summary
from framecheck.layers._stack import MOST_LAYERS
from framecheck.layers._words import colons

A, B = bytes.fromhex("20010db8" + "00" * 11 + "01"), bytes.fromhex("20010db8" + "00" * 11 + "02")
IP: tuple[str, dict[str, Any]] = ("ipv6", {"source_address": A, "destination_address": B})
PORTS = {"source_port": 5000, "destination_port": 5001}


def stack(octets: bytes, starts_at: str = "ipv6") -> list[tuple[str, int, int]]:
    layers = decode_frame(octets, starts_at)
    return [(x.kind + ("*" if x.quoted else ""), *x.octets) for x in layers]


def recorded() -> list[bytes]:
    with (VECTORS / "traffic" / "ipv6.pcap").open("rb") as file:
        return [bytes(octets) for _, octets in dpkt.pcap.Reader(file)]


@given(st.binary(min_size=16, max_size=16), st.integers(0, 255), st.integers(0, 255))
def test_addresses_read_as_the_standard_library_writes_them(
    value: bytes, cut: int, at: int
) -> None:
    """RFC 5952 4; addresses that hold one of IPv4 are left out: versions differ there."""
    blank = min(cut % 17, 16 - at % 16)
    zeroed = value[: at % 16] + bytes(blank) + value[at % 16 + blank :]
    if zeroed[:12] not in (bytes(10) + b"\xff\xff", bytes(12)):
        assert colons(zeroed) == str(ipaddress.IPv6Address(zeroed))


@pytest.mark.parametrize("text", ["::", "::1", "fe80::1", "2001:db8::1:0:0:1", "1:0:2::3"])
def test_addresses_of_note(text: str) -> None:
    assert colons(ipaddress.IPv6Address(text).packed) == text


def _their_fields(ip: dpkt.ip6.IP6) -> dict[str, int | bytes]:
    return {
        "version": ip.v,
        "traffic_class": ip.fc,
        "flow_label": ip.flow,
        "payload_length": ip.plen,
        "next_header": ip.nxt,
        "hop_limit": ip.hlim,
        "source_address": bytes(ip.src),
        "destination_address": bytes(ip.dst),
    }


def test_every_field_of_recorded_headers_is_dpkts() -> None:
    seen: Counter[str] = Counter()
    for octets in recorded():
        layers: dict[str, Layer] = {x.kind: x for x in reversed(decode_frame(octets))}
        ip = dpkt.ethernet.Ethernet(octets).data
        ours = next(x for x in decode_frame(octets) if x.kind == "ipv6")
        assert {n: ours[n].value for n in _their_fields(ip)} == _their_fields(ip)
        fragment = ip.extension_hdrs.get(dpkt.ip.IP_PROTO_FRAGMENT)
        if fragment is not None:
            piece = layers["ipv6-fragment"]
            told = [piece[n].value for n in ("fragment_offset", "more_fragments", "identification")]
            assert told == [fragment.frag_off, fragment.m_flag, fragment.id]
            seen["fragment"] += 1
        if isinstance(ip.data, dpkt.icmp6.ICMP6) and not (fragment and fragment.frag_off):
            message = layers["icmpv6"]
            told = [message[n].value for n in ("type", "code", "checksum")]
            assert told == [ip.data.type, ip.data.code, ip.data.sum]
            seen["icmpv6"] += 1
    assert seen["fragment"] >= 6
    assert seen["icmpv6"] >= 25


def test_every_recorded_frame_is_read_to_its_last_header() -> None:
    """None of these frames holds anything that no table reads but data of echo and fragments."""
    seen: Counter[str] = Counter()
    for octets in recorded():
        layers = decode_frame(octets)
        seen[" ".join(x.kind for x in layers if x.kind not in ("payload", "padding"))] += 1
        assert "unparsed" not in {f.name for x in layers for f in x.fields}
        assert "IPv6 with IP" not in summary(layers, octets)
    assert seen["ethernet ipv6 ipv6-hop-by-hop icmpv6"] == 8
    assert seen["ethernet ipv6 ipv6-fragment"] == 4


def _fixed(octets: bytes, layers: tuple[Layer, ...]) -> bytes:
    """The frame with its ICMPv6, UDP or TCP checksum worked out anew by dpkt."""
    ip = next(x for x in layers if x.kind == "ipv6")
    top = next(x for x in layers if x.kind in ("icmpv6", "udp", "tcp"))
    at, stop, field = top.start // 8, top.limit // 8, top["checksum"].start // 8
    number = {"icmpv6": 58, "udp": 17, "tcp": 6}[top.kind]
    head = ip["source_address"].raw + ip["destination_address"].raw
    head += (stop - at).to_bytes(4, "big") + number.to_bytes(4, "big")
    zeroed = octets[at:field] + b"\0\0" + octets[field + 2 : stop]
    right: int = dpkt.dpkt.in_cksum(head + zeroed)
    return octets[:field] + right.to_bytes(2, "big") + octets[field + 2 :]


def test_limits_are_those_over_which_recorded_checksums_hold() -> None:
    """Sums of real stacks with dpkt's arithmetic show where each layer begins and ends."""
    seen = 0
    for octets in recorded():
        layers = decode_frame(octets)
        fragment = next((x for x in layers if x.kind == "ipv6-fragment"), None)
        if fragment is None:
            assert _fixed(octets, layers) == octets
            seen += 1
    assert seen >= 25


@given(st.binary(max_size=200), st.sampled_from(["udp", "tcp", "icmpv6"]))
def test_any_datagram_is_built_with_a_sum_that_dpkt_agrees_with(data: bytes, top: str) -> None:
    values = {"type": 128} if top == "icmpv6" else PORTS
    octets = build([IP, (top, values)], data)

    assert _fixed(octets, decode_frame(octets, "ipv6")) == octets


def test_a_transport_behind_an_extension_header_is_summed_with_the_addresses_of_ip() -> None:
    octets = build([IP, ("ipv6-destination-options", {"option": [(1, bytes(4))]}), ("udp", PORTS)])

    assert stack(octets) == [
        ("ipv6", 0, 40),
        ("ipv6-destination-options", 40, 48),
        ("udp", 48, 56),
    ]
    assert _fixed(octets, decode_frame(octets, "ipv6")) == octets


def test_what_stands_behind_the_payload_length_is_padding() -> None:
    octets = build([IP, ("udp", PORTS)], b"frost", 60)

    assert stack(octets)[1:] == [("udp", 40, 48), ("payload", 48, 53), ("padding", 53, 60)]


def test_a_payload_length_beyond_the_end_takes_what_is_there() -> None:
    octets = build([("ipv6", {**IP[1], "payload_length": 65535}), ("udp", PORTS)], b"frost")

    assert stack(octets)[1:] == [("udp", 40, 48), ("payload", 48, 53)]


def test_no_next_header_leaves_the_rest_unread() -> None:
    """RFC 8200 4.7: octets behind a next header of 59 are ignored."""
    octets = build([IP], b"frost")

    assert stack(octets) == [("ipv6", 0, 40), ("payload", 40, 45)]


def test_numbers_of_ipv4_do_not_count_in_ipv6() -> None:
    """ICMP (1) and IGMP (2) are IPv4's alone; ICMPv6 (58) is IPv6's alone."""
    for number in (1, 2):
        octets = build([("ipv6", {**IP[1], "next_header": number})], bytes(16))
        assert stack(octets) == [("ipv6", 0, 40), ("payload", 40, 56)]
    octets = build([("ipv4", {"protocol": 58})], bytes(16))
    assert stack(octets, "ipv4") == [("ipv4", 0, 20), ("payload", 20, 36)]


def test_a_later_fragment_has_no_transport_header() -> None:
    octets = build([IP, ("ipv6-fragment", {"next_header": 17, "fragment_offset": 1})], b"frost")

    assert stack(octets)[1:] == [("ipv6-fragment", 40, 48), ("payload", 48, 53)]


def test_a_chain_of_headers_ends() -> None:
    one = bytes((60, 0, 1, 4, 0, 0, 0, 0))
    octets = build([("ipv6", {**IP[1], "next_header": 60})], one * 1000)

    layers = decode_frame(octets, "ipv6")
    assert len(layers) == MOST_LAYERS + 1
    assert layers[-1].kind == "payload"


@pytest.mark.parametrize("number", [0, 43, 60])
def test_an_extension_header_that_runs_past_the_end_ends_the_chain(number: int) -> None:
    octets = build([("ipv6", {**IP[1], "next_header": number})], bytes((number, 255)) + bytes(30))

    assert len(decode_frame(octets, "ipv6")) == 2


def test_an_error_quotes_the_datagram_that_it_is_about() -> None:
    """RFC 4443 3.1: as much of the datagram as fits."""
    quoted = build([IP, ("udp", PORTS)], b"frost")
    octets = build([IP, ("icmpv6", {"type": 1, "code": 4})], quoted)

    assert stack(octets)[1:] == [
        ("icmpv6", 40, 48),
        ("ipv6*", 48, 88),
        ("udp*", 88, 96),
        ("payload*", 96, 101),
    ]
    said = summary(decode_frame(octets, "ipv6"), octets)
    assert said == (
        "destination unreachable (port unreachable) for 2001:db8::2 port 5001, "
        "from 2001:db8::1 to 2001:db8::2"
    )


@pytest.mark.parametrize(
    ("kind", "size"),
    [(133, 8), (134, 16), (135, 24), (136, 24), (137, 40), (130, 24), (131, 24), (132, 24)],
)
def test_messages_have_the_least_length_that_their_standards_say(kind: int, size: int) -> None:
    """RFC 4861 6.1.1, 6.1.2, 7.1.1, 7.1.2 and 8.1; RFC 2710 3 (from memory)."""
    octets = build([IP, ("icmpv6", {"type": kind})])

    assert len(octets) - 40 == size


def test_dpkt_reads_the_same_neighbor_messages() -> None:
    """dpkt takes apart the flags of an advertisement in one number of 32 bits."""
    (vector,) = (v for v in vectors() if (v.kind, v.name) == ("icmpv6", "neighbor-advertisement"))
    message = dpkt.ethernet.Ethernet(vector.octets).data.data
    layer = decode_frame(vector.octets)[2]

    flags = [layer[n].value for n in ("router", "solicited", "override", "reserved")]
    assert int.from_bytes(bytes(message)[4:8], "big") == (
        flags[0] << 31 | flags[1] << 30 | flags[2] << 29 | flags[3]
    )
    assert bytes(message)[8:24] == layer["target_address"].raw
