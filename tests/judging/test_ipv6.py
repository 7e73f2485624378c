"""IPv6: sums against dpkt, addresses against ipaddress, fate, and what a driver breaks.

The steps were compared with a common server kernel: every rule's example, and eight thousand
damaged frames, written into a virtual device one at a time; its counters and answers were read.
"""

from __future__ import annotations

import ipaddress
import random
import socket

import dpkt
import pytest
from judged_frames import BOARD, BOARD_IPV6, changed, judged

import framecheck
from framecheck.core.finding import Host
from framecheck.core.host import host
from framecheck.core.problem import Problem
from framecheck.core.sheet import Fate
from framecheck.judging._examples import (
    ALL_NODES,
    ECHO_IPV6,
    LISTENER_REPORT,
    ONE,
    ROUTER,
    SOLICITATION,
    TCP,
    TCP_IPV6,
    TWO,
    UDP_IPV6,
    over_ipv6,
    resummed,
)
from framecheck.judging._tools import printed

SUMS = {58: ("icmpv6-checksum", 2), 6: ("tcp-checksum", 16), 17: ("udp-checksum", 6)}
SUMMED = {"icmpv6-checksum": ECHO_IPV6, "udp-checksum": UDP_IPV6, "tcp-checksum": TCP_IPV6}
# Worked out with dpkt (which sums on its own), not with this project.
KNOWN = {"icmpv6-checksum": 56, "udp-checksum": 60, "tcp-checksum": 70}


def by_dpkt(number: int, data: bytes, source: bytes, target: bytes) -> bytes:
    inner = {
        58: lambda: dpkt.icmp6.ICMP6(type=128, data=data),
        6: lambda: dpkt.tcp.TCP(sport=5000, dport=5001, flags=16, data=data),
        17: lambda: dpkt.udp.UDP(sport=5000, dport=5001, ulen=8 + len(data), data=data),
    }[number]()
    ip = dpkt.ip6.IP6(src=source, dst=target, nxt=number, hlim=64, plen=len(inner), data=inner)
    ip.extension_hdrs = {}
    return bytes(ip)  # dpkt fills in the sum


@pytest.mark.parametrize("number", SUMS)
def test_any_datagram_computes_to_what_another_library_sums(number):
    drawn = random.Random(number)
    name, at = SUMS[number]
    for _ in range(200):
        data = drawn.randbytes(4 + drawn.randrange(90))
        source, target = b"\x20" + drawn.randbytes(15), b"\x20" + drawn.randbytes(15)
        octets = by_dpkt(number, data, source, target)
        found = judged(octets, "ipv6")
        assert {v.outcome for v in found.verdicts} == {"match"}
        place = 40 + at
        right = int.from_bytes(octets[place : place + 2], "big")
        broken = judged(changed(octets, place, f"{right ^ 0x0F10 or 1:04x}"), "ipv6")
        assert broken.verdict(name).computed == right
        assert [f.rule for f in broken.findings if f.certainty == "impossible"] == [name]


@pytest.mark.parametrize("name", SUMMED)
def test_the_examples_carry_what_another_library_sums(name):
    frame = SUMMED[name]
    number = {v[0]: k for k, v in SUMS.items()}[name]
    ends = frame[22:54]
    pseudo = ends + (len(frame) - 54).to_bytes(4, "big") + bytes((0, 0, 0, number))
    zeroed = changed(frame, KNOWN[name], "0000")[54:]
    assert judged(frame).verdict(name).carried == dpkt.in_cksum(pseudo + zeroed)


@pytest.mark.parametrize("name", SUMMED)
def test_one_wrong_octet_anywhere_below_the_sum_is_found(name):
    """Every octet that the sum covers, header addresses included, changed to two other values."""
    frame = SUMMED[name]
    for at in (*range(22, 54), *range(54, len(frame))):
        for wrong in (frame[at] ^ 0x10, frame[at] ^ 0x81):
            damaged = changed(frame, at, f"{wrong:02x}")
            found = judged(damaged)
            rules = {f.rule for f in found.findings if f.certainty in ("impossible", "forbidden")}
            assert name in rules or "udp-length" in rules
            assert found.fate.outcome != "delivered"


def test_a_sum_covers_itself_and_the_addresses():
    verdict = judged(changed(ECHO_IPV6, 62, "67")).verdict("icmpv6-checksum")
    assert [s.octets for s in verdict.covers] == [(22, 54), (54, 67)]
    assert verdict.field is not None
    assert verdict.field.octets == (56, 58)


def test_a_udp_datagram_without_a_sum_is_forbidden_over_ipv6():
    found = judged(changed(UDP_IPV6, 60, "0000"))
    assert found.outcome("udp-checksum") == "absent"
    assert [f.rule for f in found.findings] == ["udp-checksum-zero-over-ipv6"]
    assert (found.fate.step, found.fate.outcome) == ("transport-checksum", "dropped")


@pytest.mark.parametrize("name", ["udp-checksum", "tcp-checksum"])
@pytest.mark.parametrize("sized", [True, False])
def test_a_sum_left_to_the_adapter_is_partial(name, sized):
    """What hosts leave there: the folded pseudo-header, for segmentation without its length."""
    frame, number = SUMMED[name], 17 if name[0] == "u" else 6
    size = len(frame) - 54 if sized else 0
    pseudo = frame[22:54] + size.to_bytes(4, "big") + bytes((0, 0, 0, number))
    half = 0xFFFF ^ dpkt.in_cksum(pseudo)
    found = judged(changed(frame, KNOWN[name], f"{half:04x}"))
    assert found.outcome(name) == "partial"
    assert found.fate.outcome == "delivered"


def test_the_pseudo_header_reaches_over_extension_headers():
    """Hop-by-hop and destination options stand between IP and what is summed."""
    options = "3a00010400000000" + ECHO_IPV6[54:].hex()
    twice = over_ipv6("3c00010400000000" + options, 0, 64)
    found = judged(twice)
    assert found.outcome("icmpv6-checksum") == "match"
    assert twice[72:74] == ECHO_IPV6[56:58]  # the pseudo-header's length is the message's own
    assert found.above_unusual == []


@pytest.mark.parametrize("header", ["3a0200010000000000000000" + "00" * 12, "3a00fd0100000000"])
def test_where_a_route_goes_on_the_sum_is_not_verified(header):
    frame = over_ipv6(header.ljust(48 if header[3] == "2" else 16, "0") + "8000" * 8, 43, 64)
    found = judged(frame)
    assert found.outcome("icmpv6-checksum") == "unverifiable"
    assert found.fate.outcome != "delivered"


@pytest.mark.parametrize("length", [14, 200, 0xFFFF])
def test_a_payload_length_that_cannot_be(length):
    found = judged(changed(UDP_IPV6, 18, f"{length:04x}"))
    verdict = found.verdict("ipv6-payload-length")
    assert (verdict.outcome, verdict.carried, verdict.computed) == ("mismatch", length, 13)
    assert found.spans("ipv6-payload-length") == [((18, 20),)]
    assert (found.fate.step, found.fate.rule) == ("total-length-vs-received", "ipv6-payload-length")


def test_lengths_rest_in_a_cut_frame():
    found = judged(UDP_IPV6[:60], cut=True)
    assert found.outcome("ipv6-payload-length") == "unverifiable"
    assert found.above_unusual == []
    assert found.fate.outcome == "cannot tell"


@pytest.mark.parametrize("first", [0x20, 0xFE, 0xFF, 0x00])
def test_addresses_read_as_another_library_prints_them(first):
    drawn = random.Random(first)
    for _ in range(50):
        address = bytes((first,)) + bytes(drawn.choice((0, 0, 1, 0xAB)) for _ in range(15))
        assert printed(address) == socket.inet_ntop(socket.AF_INET6, address) or (
            ipaddress.ip_address(printed(address)).packed == address
        )


@pytest.mark.parametrize(
    "text", ["::", "::1", "ff00::1", "ff02::1", "2001:db8::1", "fe80::1", "ff0e::fb"]
)
def test_sources_are_judged_as_another_library_classes_them(text):
    """Sources that may not be: ``ipaddress`` says multicast, loopback or unspecified."""
    address = ipaddress.ip_address(text)
    found = judged(resummed(changed(UDP_IPV6, 22, address.packed.hex())))
    blamed = {"ipv6-source-address", "ipv6-source-unspecified"} & set(found.above_unusual)
    assert bool(blamed) == (address.is_multicast or address.is_loopback or address.is_unspecified)


DROPPED = {
    "version": (changed(UDP_IPV6, 14, "40"), "ip-version-ihl"),
    "source is a group": (resummed(changed(UDP_IPV6, 22, ALL_NODES)), "source-destination-address"),
    "destination is ::": (resummed(changed(UDP_IPV6, 38, "00" * 16)), "source-destination-address"),
    "unknown option that asks for it": (
        over_ipv6("3a00920400000000" + ECHO_IPV6[54:].hex(), 60, 64),
        "options",
    ),
    "hop-by-hop in the wrong place": (
        over_ipv6("0000010400000000" + "3a00010400000000" + ECHO_IPV6[54:].hex(), 60, 64),
        "options",
    ),
    "fragment of 13 octets": (
        over_ipv6("1100000100000001" + UDP_IPV6[54:].hex(), 44, 64),
        "reassembly",
    ),
    "UDP checksum": (changed(UDP_IPV6, 63, "00"), "transport-checksum"),
    "ICMPv6 checksum": (changed(ECHO_IPV6, 63, "00"), "transport-checksum"),
    "neighbor solicitation too short": (
        over_ipv6("8700000000000000" + TWO[:16]),
        "transport-length",
    ),
    "neighbor solicitation from afar": (resummed(changed(SOLICITATION, 21, "40")), "application"),
    "option of no length": (resummed(changed(SOLICITATION, 79, "00")), "application"),
    "router that is not on the link": (
        over_ipv6(ROUTER[54:].hex(), source="20010db8" + "00" * 11 + "01", target=ALL_NODES),
        "application",
    ),
}


@pytest.mark.parametrize("what", DROPPED)
def test_a_strict_host_drops_it_there(what):
    octets, step = DROPPED[what]
    found = judged(octets)
    assert (found.fate.outcome, found.fate.step) == ("dropped", step)
    assert found.fate.rule in {f.rule for f in found.findings}


def test_what_the_host_does_not_tell_is_assumed_and_said():
    assert judged(UDP_IPV6).fate == Fate("delivered", None, None, ("mac", "ip", "port"))
    assert judged(UDP_IPV6, host=BOARD_IPV6).fate == Fate("delivered", None, None, ())
    # An IPv4 address says nothing about IPv6.
    assert judged(UDP_IPV6, host=BOARD).fate.assumed == ("ip",)
    assert judged(ECHO_IPV6).fate.assumed == ("mac", "ip")
    assert judged(SOLICITATION).fate.assumed == ("group", "ip")
    assert judged(LISTENER_REPORT).fate.assumed == ("group",)


def test_a_datagram_or_a_question_for_another_host_is_dropped_but_not_damaged():
    other = Host(ip=bytes.fromhex(ONE))
    found = judged(UDP_IPV6, host=other)
    assert (found.fate.step, found.fate.rule) == ("source-destination-address", "host-ip-address")
    asked = judged(SOLICITATION, host=other)
    assert (asked.fate.step, asked.fate.rule) == ("application", "host-solicited-address")
    assert found.findings == asked.findings == ()


def test_a_fragment_is_held_and_one_of_nothing_is_not():
    first = over_ipv6("3a00000100000007" + ECHO_IPV6[54:62].hex(), 44, 64)
    assert judged(first).fate.step == "reassembly"
    assert judged(first).outcome("icmpv6-checksum") == "unverifiable"
    alone = judged(over_ipv6("3a00000000000007" + ECHO_IPV6[54:].hex(), 44, 64))
    assert alone.outcome("icmpv6-checksum") == "match"
    assert (alone.fate.outcome, alone.above_unusual) == ("delivered", [])


def test_a_length_is_healed_where_a_sum_agrees():
    """Too long by one flipped bit: with the right length the ICMPv6 checksum holds."""
    found = judged(changed(ECHO_IPV6, 18, "400d"))
    verdict = found.verdict("ipv6-payload-length")
    assert [s.octets for s in verdict.blamed] == [(18, 19)]
    assert "one flipped bit" in verdict.says


def test_a_dump_that_the_log_cuts_off_is_cut_and_not_damaged():
    """The payload length asks for octets that the log's end took."""
    rows = [
        f"{at:04x}  " + " ".join(f"{octet:02x}" for octet in TCP_IPV6[at : at + 16])
        for at in range(0, 64, 16)
    ]
    sheet = framecheck.check("\n".join(rows))
    assert [frame.state for frame in sheet.frames] == ["cut"]


@pytest.mark.parametrize(
    ("text", "packed"),
    [("2001:db8::77", "20010db8" + "00" * 11 + "77"), ("fe80::1", "fe80" + "00" * 13 + "01")],
)
def test_a_host_may_be_named_by_an_ipv6_address(text, packed):
    assert host(f"ip={text},port=5001") == Host(ip=bytes.fromhex(packed), port=5001)


@pytest.mark.parametrize("text", ["2001:db8:::1", ":", "12345::", "::1.2.3.400"])
def test_what_is_no_ipv6_address_is_refused_in_one_line(text):
    with pytest.raises(Problem, match="is not an IPv6 address"):
        host(f"ip={text}")


NOTHING_LEFT = {
    "UDP over IPv6": changed(UDP_IPV6, 18, "0000")[:54],
    "TCP over IPv4": resummed(changed(changed(TCP, 16, "0014"), 34, "00" * 40)[:60]),
}


@pytest.mark.parametrize("what", NOTHING_LEFT)
def test_a_transport_that_is_announced_and_absent_is_dropped(what):
    """The same kernel counts an error of the transport."""
    found = judged(NOTHING_LEFT[what])
    assert (found.fate.outcome, found.fate.step) == ("dropped", "transport-length")


def test_version_6_behind_a_tag_and_alone():
    tagged = UDP_IPV6[:12] + bytes.fromhex("81000064") + changed(UDP_IPV6, 14, "40")[12:]
    assert "ipv6-version" in judged(tagged).above_unusual
    assert judged(UDP_IPV6[14:], "ipv6").above_unusual == []
    assert judged(UDP_IPV6[14:], "ipv6").fate.outcome == "delivered"
