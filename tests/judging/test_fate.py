"""Fate: where a strict host drops a frame.

The steps were compared with a common server kernel: frames written into a virtual device, one at
a time, and its counters read before and after. Which counter moved names the layer.
"""

from __future__ import annotations

import pytest
from judged_frames import BOARD, BOARD_IPV6, changed, judged, reference

from framecheck.core.finding import Host
from framecheck.core.sheet import Fate
from framecheck.judging._examples import (
    ALL_NODES,
    DISCOVER,
    ECHO_IPV6,
    OFFER,
    TCP,
    UDP,
    over_ipv6,
    resummed,
)


def sound(octets: bytes, at: int, digits: str) -> bytes:
    return resummed(changed(octets, at, digits))


# What is changed, and the step that it dies at. All silent on that kernel.
DROPPED = {
    "a type that is none": (changed(UDP, 12, "05ff"), "ethertype-demux"),
    "version 0": (sound(UDP, 14, "05"), "ip-version-ihl"),
    "version 5": (sound(UDP, 14, "55"), "ip-version-ihl"),
    "header length 4": (changed(UDP, 14, "44"), "ip-version-ihl"),
    "header checksum 0000": (changed(UDP, 24, "0000"), "ip-header-checksum"),
    "total length 0": (sound(UDP, 16, "0000"), "total-length-vs-received"),
    "total length too long": (sound(UDP, 16, "0100"), "total-length-vs-received"),
    "source is a group": (sound(UDP, 26, "e0000001"), "source-destination-address"),
    "source is a broadcast": (sound(UDP, 26, "ffffffff"), "source-destination-address"),
    "source is loopback": (sound(UDP, 26, "7f000001"), "source-destination-address"),
    "source is 0.0.0.0": (sound(UDP, 26, "00000000"), "source-destination-address"),
    "destination is loopback": (sound(UDP, 30, "7f000001"), "source-destination-address"),
    "UDP length 0": (sound(UDP, 38, "0000"), "transport-length"),
    "UDP length 7": (sound(UDP, 38, "0007"), "transport-length"),
    "UDP checksum": (changed(UDP, 45, "00"), "transport-checksum"),
    "TCP checksum": (changed(TCP, 49, "ff"), "transport-checksum"),
    "TCP data offset 4": (sound(TCP, 46, "40"), "transport-length"),
    "TCP data offset beyond": (sound(TCP, 46, "f0"), "transport-length"),
    "SYN and FIN": (sound(TCP, 47, "03"), "port"),
    "FIN, PSH and URG without ACK": (sound(TCP, 47, "29"), "port"),
    "UDP port 0": (sound(UDP, 36, "0000"), "port"),
    "fragments that leave a gap": (sound(UDP, 20, "2000"), "reassembly"),
    "ARP hardware type": (changed(reference("arp-request"), 14, "0100"), "application"),
    "ARP protocol type": (changed(reference("arp-request"), 16, "0008"), "application"),
    "ARP operation 0": (changed(reference("arp-request"), 20, "0000"), "application"),
    "ARP for a group": (
        changed(reference("arp-request"), 38, "e0000001"),
        "source-destination-address",
    ),
    "DHCP cookie": (sound(OFFER, 278, "82636353"), "application"),
    "DHCP from the wrong side": (sound(OFFER, 42, "01"), "application"),
}


@pytest.mark.parametrize("what", DROPPED)
def test_a_strict_host_drops_it_there(what):
    octets, step = DROPPED[what]
    found = judged(octets)
    assert (found.fate.outcome, found.fate.step) == ("dropped", step)
    assert found.fate.rule in {f.rule for f in found.findings}


# That kernel delivered these, or answered.
DELIVERED = {
    "time to live 0": sound(UDP, 22, "00"),
    "reserved flag": sound(UDP, 20, "8000"),
    "congestion mark": sound(UDP, 15, "03"),
    "padding not zero": changed(UDP, 50, "a5"),
    "no UDP checksum": changed(UDP, 40, "0000"),
    "UDP length shorter": sound(UDP, 38, "000b"),
    "UDP source port 0": sound(UDP, 34, "0000"),
    "TCP reserved bits": sound(TCP, 46, "ae"),
    "SYN and PSH": sound(TCP, 47, "0a"),
    "SYN and URG": sound(TCP, 47, "22"),
    "TCP option length 0": sound(TCP, 71, "0300"),
    "TCP segment size of length 3": sound(TCP, 54, "02030501"),
    "ARP sender is not the source": changed(reference("arp-request"), 22, "00005e005309"),
    "unpadded ARP": reference("arp-request")[:42],
    "DHCP before an address": DISCOVER,
}


@pytest.mark.parametrize("what", DELIVERED)
def test_a_host_takes_it(what):
    assert judged(DELIVERED[what]).fate.outcome == "delivered"


def test_what_the_host_does_not_tell_is_assumed_and_said():
    assert judged(UDP).fate == Fate("delivered", None, None, ("mac", "ip", "port"))
    assert judged(UDP, host=BOARD).fate == Fate("delivered", None, None, ())
    assert judged(reference("icmp-echo")).fate.assumed == ("mac", "ip")
    assert judged(reference("arp-request")).fate.assumed == ("ip",)
    assert judged(DISCOVER).fate.assumed == ("port",)


@pytest.mark.parametrize(
    ("other", "step", "rule"),
    [
        (BOARD._replace(mac=bytes(6)), "mac-address-filter-and-fcs", "host-mac-address"),
        (BOARD._replace(ip=bytes(4)), "source-destination-address", "host-ip-address"),
        (BOARD._replace(port=9), "port", "host-port-number"),
    ],
)
def test_a_frame_for_another_host_is_dropped_but_not_damaged(other, step, rule):
    found = judged(UDP, host=other)
    assert found.fate == Fate("dropped", step, rule, ())
    assert found.findings == ()


def test_the_first_step_that_fails_decides():
    both = changed(changed(UDP, 45, "00"), 24, "0001")
    assert judged(both).fate.step == "ip-header-checksum"
    assert judged(both, fcs=bytes(4)).fate.step == "mac-address-filter-and-fcs"
    assert judged(both).fate.assumed == ("mac",)


def test_a_broadcast_is_for_every_host():
    everybody = Host(bytes.fromhex("00005e005377"), bytes((192, 0, 2, 77)), 67)
    assert judged(DISCOVER, host=everybody).fate.outcome == "delivered"
    subnet = sound(changed(UDP, 0, "ffffffffffff"), 30, "c00002ff")
    assert judged(subnet, host=everybody._replace(port=5001)).fate.outcome == "delivered"
    announced = changed(reference("arp-request"), 38, "c0000201")
    assert judged(announced, host=everybody).fate.outcome == "delivered"


def test_an_address_filter_lets_a_group_pass_in_a_frame_for_one_station_or_for_all():
    """RFC 1112 6.4 tells where a group is sent; a filter knows only what it lets pass."""
    group = sound(UDP, 30, "e00000fb")
    for link in ("00005e005302", "ffffffffffff"):
        found = judged(changed(group, 0, link), host=BOARD)
        assert (found.fate.outcome, found.fate.assumed) == ("delivered", ("group",))
    other = judged(changed(group, 0, "01005e000002"), host=BOARD)
    assert other.fate.rule == "ipv4-multicast-address"
    everybody = over_ipv6(ECHO_IPV6[54:].hex(), target=ALL_NODES, link="ffffffffffff")
    assert judged(everybody).fate.outcome == "delivered"


def test_nobody_announces_an_address_of_zeros():
    """RFC 5227 1.1: a sender of zeros asks whether the target is free."""
    zeros = changed(changed(reference("arp-request"), 28, "00000000"), 38, "00000000")
    assert judged(zeros, host=BOARD).fate.rule == "host-ip-address"
    assert judged(zeros).fate.assumed == ("ip",)


BROKEN_OPTION = "3a00010500000000" + ECHO_IPV6[54:].hex()
"""An option that leads past the end of its header, before an echo request."""


def test_extension_headers_are_for_the_destination_to_read():
    """RFC 8200 4: none but hop-by-hop options right behind the fixed header is read elsewhere."""
    other = BOARD_IPV6._replace(ip=bytes(15) + b"\2")
    for number, step in ((60, "source-destination-address"), (0, "options")):
        frame = over_ipv6(BROKEN_OPTION, number)
        assert judged(frame, host=other).fate.step == step
        assert judged(frame, host=BOARD_IPV6).fate.step == "options"


def test_an_extension_header_of_which_nothing_is_left_ends_the_way():
    """RFC 8200 4.5: a host knows the fragment header, and answers this with ICMPv6 4/0."""
    assert judged(over_ipv6("", 44)).fate.rule == "ipv6-next-header-absent"


def test_an_arp_request_for_another_address_is_not_answered():
    other = Host(ip=bytes((192, 0, 2, 77)))
    assert judged(reference("arp-request"), host=other).fate.rule == "host-ip-address"


@pytest.mark.parametrize(
    ("octets", "step"),
    [
        (changed(UDP, 12, "0600"), "ethertype-demux"),
        (over_ipv6("00" * 8, 253), "protocol-demux"),
        (sound(UDP, 23, "fd"), "protocol-demux"),
        (reference("snap-arp-request"), "ethertype-demux"),
    ],
)
def test_a_protocol_that_only_the_host_knows_is_left_open(octets, step):
    found = judged(octets).fate
    assert (found.outcome, found.step) == ("cannot tell", step)
    assert "protocol" in found.assumed


def test_a_fragment_is_held_until_the_others_come():
    found = judged(sound(reference("icmp-echo"), 20, "2000")).fate
    assert (found.outcome, found.step) == ("cannot tell", "reassembly")


def test_a_cut_frame_is_left_open_unless_it_dies_before_the_cut():
    assert judged(TCP[:60], cut=True).fate.outcome == "cannot tell"
    assert judged(changed(TCP, 22, "01")[:60], cut=True).fate.step == "ip-header-checksum"
    assert judged(UDP[:9], cut=True).fate.outcome == "cannot tell"
    # Only padding is lost.
    assert judged(UDP[:50], cut=True).fate.outcome == "delivered"


def test_a_sum_left_to_the_adapter_is_wrong_once_it_was_on_a_wire():
    """The same kernel drops it in silence and counts a wrong checksum."""
    half = changed(UDP, 40, "8422")
    assert judged(half).fate == Fate(
        "delivered", None, None, ("mac", "ip", "checksum-offload", "port")
    )
    found = judged(half, on_wire=True)
    assert found.outcome("udp-checksum") == "partial"
    assert found.fate == Fate("dropped", "transport-checksum", "udp-checksum", ("mac", "ip"))


def test_the_middle_of_something_has_no_fate():
    assert judged(UDP, "inside").fate == Fate("cannot tell")
    assert judged(b"").fate == Fate("cannot tell")
