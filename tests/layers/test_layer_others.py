"""Smaller protocols of a link against dpkt, and against octets that lie."""

from __future__ import annotations

from typing import Any

import dpkt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from layer_frames import Vector, vectors

from framecheck.core.layer import Layer, decode, encode
from framecheck.layers import build, decode_frame, kind
from tests.effort import effort

EACH = {(v.kind, v.name): v for v in vectors()}


def layer_of(vector: Vector) -> Layer:
    layers = decode_frame(vector.octets, vector.starts_at)
    return next(x for x in layers if x.kind == vector.kind and x.start == vector.start * 8)


def octets_of(vector: Vector) -> bytes:
    layer = layer_of(vector)
    return vector.octets[vector.start : layer.limit // 8]


def read(name: str, octets: bytes) -> Layer:
    return decode(kind(name), octets, 0, len(octets) * 8)


def _named(layer: Layer, *names: str) -> list[Any]:
    return [layer[name].value for name in names]


TIME = st.binary(min_size=48, max_size=48).filter(lambda octets: octets[0] & 7 < 6)


@given(TIME)
def test_ntp_is_dpkts(octets: bytes) -> None:
    theirs, ours = dpkt.ntp.NTP(octets), read("ntp", octets)

    flags = _named(ours, "leap_indicator", "version_number", "mode")
    assert flags == [theirs.li, theirs.v, theirs.mode]
    names = ("stratum", "poll", "precision", "root_delay", "root_dispersion", "reference_id")
    assert _named(ours, *names) == [
        theirs.stratum,
        theirs.interval,
        theirs.precision,
        theirs.delay,
        theirs.dispersion,
        bytes(theirs.id),
    ]
    stamps = ("reference", "origin", "receive", "transmit")
    assert [ours[f"{name}_timestamp"].raw for name in stamps] == [
        theirs.update_time,
        theirs.originate_time,
        theirs.receive_time,
        theirs.transmit_time,
    ]


@given(st.integers(0, 2**64 - 1))
def test_any_time_of_ntp_can_be_said(stamp: int) -> None:
    layer = read("ntp", b"\x24" + bytes(39) + stamp.to_bytes(8, "big"))

    said = layer["transmit_timestamp"].reads
    assert said is not None
    assert said == "unknown" or "1968" <= said[:4] <= "2104"


@pytest.mark.parametrize("name", ["report-version-1", "report-version-2", "leave"])
def test_igmp_is_dpkts(name: str) -> None:
    vector = EACH["igmp", name]
    theirs, ours = dpkt.ethernet.Ethernet(vector.octets).data.data, layer_of(vector)

    assert isinstance(theirs, dpkt.igmp.IGMP)
    told = [theirs.type, theirs.maxresp, theirs.sum, theirs.group]
    assert _named(ours, "type", "max_resp_time", "checksum", "group_address") == told


@pytest.mark.parametrize("length", range(4, 24))
def test_a_membership_query_shows_its_version_by_its_length(length: int) -> None:
    """RFC 3376 7.1 (from memory): 8 octets are version 1 or 2, from 12 on version 3."""
    layer = read("igmp", b"\x11" + bytes(length - 1))

    assert ("number_of_sources" in {f.name for f in layer.fields if f.whole}) == (length >= 12)


def test_stp_is_dpkts() -> None:
    vector = EACH["stp", "configuration"]
    theirs, ours = dpkt.stp.STP(octets_of(vector)), layer_of(vector)

    names = ("protocol_identifier", "protocol_version_identifier", "bpdu_type", "root_path_cost")
    told = [theirs.proto_id, theirs.v, theirs.type, theirs.root_path]
    assert _named(ours, *names) == told
    root = ours["root_priority"].number << 12 | ours["root_system_id_extension"].number
    assert root.to_bytes(2, "big") + ours["root_address"].raw == theirs.root_id
    bridge = ours["bridge_priority"].number << 12 | ours["bridge_system_id_extension"].number
    assert bridge.to_bytes(2, "big") + ours["bridge_address"].raw == theirs.bridge_id
    times = ("message_age", "max_age", "hello_time", "forward_delay")
    read_as = [theirs.age, theirs.max_age, theirs.hello, theirs.fd]
    assert [ours[n].number / 256 for n in times] == read_as


@pytest.mark.parametrize("name", ["initiation", "offer", "session"])
def test_pppoe_is_dpkts(name: str) -> None:
    vector = EACH["pppoe", name]
    theirs, ours = dpkt.pppoe.PPPoE(octets_of(vector)), layer_of(vector)

    told = [theirs.v, theirs.type, theirs.code, theirs.session, theirs.len]
    assert _named(ours, "version", "type", "code", "session_id", "length") == told


@given(st.integers(0, 0xFFFF))
def test_ppp_is_dpkts(number: int) -> None:
    """RFC 1661 6.5: an odd first octet is the whole number."""
    octets = b"\xff\x03" + number.to_bytes(2, "big") + b"frost"
    theirs, (hdlc, ppp, *_) = dpkt.ppp.PPP(octets), decode_frame(octets, "hdlc")

    assert _named(hdlc, "address", "control") == [theirs.addr, theirs.cntrl]
    assert ppp["protocol"].value == theirs.p
    # What dpkt leaves over it keeps as an object of its own where it knows the number.
    if isinstance(theirs.data, bytes):
        assert octets[ppp.octets[1] :] == theirs.data


NAMES = st.binary(min_size=1, max_size=20).map(lambda b: b.replace(b"\0", b"x"))


@given(st.sampled_from([1, 2]), NAMES, NAMES)
def test_tftp_is_dpkts(opcode: int, name: bytes, mode: bytes) -> None:
    octets = opcode.to_bytes(2, "big") + name + b"\0" + mode + b"\0"
    theirs, ours = dpkt.tftp.TFTP(octets), read("tftp", octets)

    assert ours["opcode"].value == theirs.opcode
    assert ours["filename"].raw == theirs.filename + b"\0"
    assert ours["mode"].raw == theirs.mode + b"\0"
    assert encode(kind("tftp"), {"opcode": opcode, "filename": name, "mode": mode}) == octets


def test_the_numbers_that_lead_to_a_layer_are_dpkts() -> None:
    same = {
        "rarp": dpkt.ethernet.ETH_TYPE_REVARP,
        "ipv6": dpkt.ethernet.ETH_TYPE_IP6,
        "pppoe": dpkt.ethernet.ETH_TYPE_PPPoE,
        "lldp": dpkt.ethernet.ETH_TYPE_LLDP,
    }
    for name, number in same.items():
        assert ("ethertype", number) in kind(name).entered_by
    assert ("ethertype", dpkt.ethernet.ETH_TYPE_PPPoE_DISC) in kind("pppoe").entered_by
    same = {"ipv4": dpkt.ppp.PPP_IP, "ipv6": dpkt.ppp.PPP_IP6}
    for name, number in same.items():
        assert ("ppp-protocol", number) in kind(name).entered_by
    same = {
        "icmpv6": dpkt.ip.IP_PROTO_ICMP6,
        "ipv6-fragment": dpkt.ip.IP_PROTO_FRAGMENT,
        "ipv6-routing": dpkt.ip.IP_PROTO_ROUTING,
        "ipv6-hop-by-hop": dpkt.ip.IP_PROTO_HOPOPTS,
        "ipv6-destination-options": dpkt.ip.IP_PROTO_DSTOPTS,
    }
    for name, number in same.items():
        assert ("next-header", number) in kind(name).entered_by


def test_what_stands_behind_an_lldpdu_is_padding() -> None:
    layers = decode_frame(EACH["lldp", "leaving"].octets)

    assert [x.kind for x in layers] == ["ethernet", "lldp", "padding"]


def test_a_length_of_lldp_past_the_end_says_what_is_missing() -> None:
    layer = read("lldp", bytes.fromhex("0207 0400005e005301 0bff 6f"))

    assert (layer.groups[-1].missing, layer.groups[-1].whole) == (510, False)


def test_a_strange_discovery_tag_keeps_its_number() -> None:
    layer = read("pppoe", bytes.fromhex("1109000000060999 0002 abcd"))

    assert layer["tag_2457"].value == b"\xab\xcd"


@pytest.mark.parametrize("length", [0, 3, 5, 200])
def test_a_length_of_lcp_that_cannot_be(length: int) -> None:
    octets = bytes.fromhex("c021 0901") + length.to_bytes(2, "big") + bytes(10)

    layers = decode_frame(octets, "ppp")
    assert [x.kind for x in layers] == ["ppp", "lcp", "payload"]


def test_data_behind_the_length_of_lcp_is_padding() -> None:
    """RFC 1661 5: octets outside the range of the length are padding."""
    octets = build([("ppp", {}), ("lcp", {"code": 9, "length": 8})], b"frost")

    assert [(x.kind, *x.octets) for x in decode_frame(octets, "ppp")] == [
        ("ppp", 0, 2),
        ("lcp", 2, 10),
        ("padding", 10, 15),
    ]


def test_bootp_without_options_has_a_vendor_area() -> None:
    """RFC 951 3: 64 octets, zero where no vendor uses them."""
    layer = layer_of(EACH["dhcp", "bootp"])

    assert layer.get("magic_cookie") is None
    assert layer["vend"].whole


def test_a_damaged_cookie_is_still_read_as_one() -> None:
    octets = bytearray(EACH["dhcp", "discover"].octets)
    octets[278] ^= 1

    assert decode_frame(bytes(octets))[-1]["magic_cookie"].whole


def test_two_hundred_tags_end() -> None:
    octets = bytes(12) + bytes.fromhex("88a80001") * 200 + bytes.fromhex("0806") + bytes(28)

    assert effort(lambda: decode_frame(octets)) < 10_000
    assert decode_frame(octets)[-1].kind == "payload"


def test_pointers_to_pointers_are_followed_for_a_bounded_time() -> None:
    """Each pointer leads two octets back, and every record asks for the longest way."""
    first = 24
    pointers = [first - 1, *range(first, first + 2 * 7999, 2)]
    chain = b"\0" + b"".join((0xC000 | to).to_bytes(2, "big") for to in pointers)
    holder = bytes((0, 0, 10, 0, 1)) + bytes(4) + len(chain).to_bytes(2, "big") + chain
    record = (0xC000 | pointers[-1]).to_bytes(2, "big") + bytes((0, 10, 0, 1)) + bytes(6)
    octets = bytes(6) + (4001).to_bytes(2, "big") + bytes(4) + holder + record * 4000

    said: list[str | None] = []

    def names() -> None:
        said.extend(f.reads for f in read("dns", octets).fields if f.name == "name")

    assert effort(names) < 2_000_000
    assert len(said) == 4001
    assert said[-1] == "… (its pointer leads nowhere)"


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(sorted(v.kind for v in vectors())), st.binary(max_size=300))
def test_random_octets_at_each_layer_join_bit_for_bit(name: str, octets: bytes) -> None:
    layer = read(name, octets)

    at = 0
    for f in layer.fields:
        assert f.start == at
        at = f.stop
        assert f.reads is None or f.reads.isprintable()
    assert at == layer.stop <= len(octets) * 8
