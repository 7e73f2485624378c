"""Frames that are sound though odd, and broken ones at which several rules could speak.

What real stacks do (RFC 2131 4.1, RFC 3376 4.1.12, RFC 6842, RFC 9768) must stay without a finding
above ``unusual``; what is broken must be said once, by the rule that knows it best.
"""

from __future__ import annotations

import pytest
from judged_frames import changed, judged, reference

from framecheck.core.finding import Host
from framecheck.judging._examples import (
    ARP,
    ARP_REPLY,
    DISCOVER,
    ICMP,
    OFFER,
    QUERY,
    SOLICITATION,
    SOLICITED,
    TCP,
    UDP,
    over_ipv6,
    resummed,
)


def sound(octets: bytes, *edits: tuple[int, str]) -> bytes:
    for at, digits in edits:
        octets = changed(octets, at, digits)
    return resummed(octets)


def dhcp(base: bytes, options: str, *edits: tuple[int, str]) -> bytes:
    return sound(base, (282, options.ljust(120, "0")), *edits)


SERVER, LEASE = "3604c0000202", "330400000e10"
QUIET = {
    "gratuitous ARP": changed(ARP, 38, "c0000201"),
    "ARP probe": changed(ARP, 28, "00000000"),
    "ARP check of a neighbour, by unicast": changed(
        changed(ARP, 0, "00005e005302"), 32, "00005e005302"
    ),
    "gratuitous ARP reply, by broadcast": changed(ARP_REPLY, 0, "ffffffffffff"),
    "offer that echoes the client's identifier": dhcp(
        OFFER, "350102" + SERVER + LEASE + "3d070100005e005301" + "ff"
    ),
    "offer by broadcast, asked for": dhcp(
        OFFER, "350102" + SERVER + LEASE + "ff", (30, "ffffffff"), (52, "8000")
    ),
    "offer by broadcast, not asked for": dhcp(
        OFFER, "350102" + SERVER + LEASE + "ff", (30, "ffffffff")
    ),
    "offer for a relay": dhcp(
        OFFER, "350102" + SERVER + LEASE + "ff", (30, "c0000205"), (36, "0043"), (66, "c0000205")
    ),
    "grant to a client that renews": dhcp(
        OFFER, "350105" + SERVER + LEASE + "ff", (54, "c000024d")
    ),
    "grant for ever": dhcp(
        OFFER,
        "350105" + SERVER + "3304ffffffff" + "3a04ffffffff" + "3b04ffffffff" + "ff",
    ),
    "settings without a lease, for INFORM": dhcp(
        OFFER, "350105" + SERVER + "ff", (54, "c000024d"), (58, "00000000")
    ),
    "refusal by broadcast": dhcp(
        OFFER, "350106" + SERVER + "ff", (30, "ffffffff"), (58, "00000000")
    ),
    "request that a relay passed on": dhcp(
        DISCOVER,
        "350103" + "ff",
        (0, "00005e005302"),
        (26, "c0000205"),
        (30, "c0000202"),
        (66, "c0000205"),
    ),
    "request of a client that renews": dhcp(
        DISCOVER,
        "350103" + "ff",
        (0, "00005e005302"),
        (26, "c000024d"),
        (30, "c0000202"),
        (54, "c000024d"),
    ),
    "request that is told the server by unicast": dhcp(
        DISCOVER, "350103" + "ff", (0, "00005e005302"), (26, "c000024d"), (30, "c0000202")
    ),
    "release": dhcp(
        DISCOVER,
        "350107" + SERVER + "ff",
        (0, "00005e005302"),
        (26, "c000024d"),
        (30, "c0000202"),
        (54, "c000024d"),
    ),
    "BOOTP": dhcp(DISCOVER, "ff"),
    "one option in two parts": dhcp(
        DISCOVER, "350101" + "3702" + "0103" + "3701" + "06" + "3d0401aabb" + "cc" + "ff"
    ),
    "routers in two parts that are whole only together": dhcp(
        OFFER, "350102" + SERVER + LEASE + "0302c000" + "03020202" + "ff"
    ),
    "options in file, each field ended": dhcp(
        DISCOVER, "350101" + "340101" + "ff", (150, "0c0161ff")
    ),
    "query for group members from nobody": sound(QUERY, (26, "00000000")),
    "SYN that offers exact congestion marks": sound(TCP, (46, "a1c2")),
    "acknowledgment with selective blocks": sound(
        TCP, (47, "10"), (54, "0101" + "0512" + "00000001000000020000000300000004")
    ),
    "reset without acknowledgment": sound(TCP, (46, "5004"), (54, "00" * 20)),
    "broadcast of a subnet": sound(UDP, (0, "ffffffffffff"), (30, "c00002ff")),
    "group that an access point sends to one station": over_ipv6(
        SOLICITATION[54:].hex(), target=SOLICITED, link="00005e005302"
    ),
    "loopback device": sound(UDP, (0, "00" * 12), (26, "7f000001"), (30, "7f000001")),
    "two tags and an ARP request that was padded before": (
        ARP[:12] + bytes.fromhex("88a800648100000a") + ARP[12:]
    ),
    "a tag and an ARP request that was not": (ARP[:12] + bytes.fromhex("81000064") + ARP[12:])[:60],
    "spanning tree": changed(ARP, 0, "0180c2000000" + "00005e005301" + "0026424203" + "00" * 35),
    "last fragment": sound(ICMP, (20, "0002")),
    "multicast to its own link address": sound(UDP, (0, "01005e0000fb"), (30, "e00000fb")),
}


@pytest.mark.parametrize("what", QUIET)
def test_what_real_stacks_send_is_not_blamed(what):
    found = judged(QUIET[what])
    assert found.above_unusual == []
    assert "mismatch" not in {v.outcome for v in found.verdicts}
    assert found.fate.outcome != "dropped"


LOUD = {
    "complement of the pseudo-header": (changed(UDP, 40, f"{0xFFFF ^ 0x8422:04x}"), "udp-checksum"),
    "pseudo-header in the other octet order": (changed(UDP, 40, "2284"), "udp-checksum"),
    "sum in the other octet order": (changed(UDP, 40, "ed10"), "udp-checksum"),
    "tagged type exchanged": (
        changed(ARP, 12, "0081" + "0064" + "0806" + ARP[14:].hex()),
        "ethernet-type-byte-swapped",
    ),
    "IPv4 type exchanged": (changed(UDP, 12, "0008"), "ethernet-type-byte-swapped"),
    "group address for one host": (
        sound(UDP, (0, "01005e000202")),
        "ipv4-multicast-address",
    ),
    "source of class E": (sound(UDP, (26, "f0000001")), "ipv4-source-address"),
    "source of network 0": (sound(UDP, (26, "00010203")), "ipv4-source-address"),
    "offset with don't fragment": (sound(ICMP, (20, "4001")), "ipv4-fragment-contradiction"),
    "no flags at all": (sound(TCP, (47, "00")), "tcp-flags-contradict"),
    "end without acknowledgment": (sound(TCP, (47, "01")), "tcp-flags-contradict"),
    "authentication option too short": (sound(TCP, (54, "1d030000")), "tcp-option-size"),
    "fast open cookie of odd length": (
        sound(TCP, (54, "2207" + "00" * 5 + "01" * 13)),
        "tcp-option-size",
    ),
    "option without a length": (sound(TCP, (54, "01" * 19 + "08")), "tcp-option-length"),
    "refusal by unicast": (
        dhcp(OFFER, "350106" + SERVER + "ff", (58, "00000000")),
        "dhcp-reply-destination",
    ),
    "unicast though broadcast was asked for": (
        sound(OFFER, (52, "8000")),
        "dhcp-reply-destination",
    ),
    "lease ends before it is renewed": (
        dhcp(OFFER, "350102" + SERVER + "330400000708" + "3a0400000e10" + "ff"),
        "dhcp-times-order",
    ),
    "routers of 5 octets": (
        dhcp(OFFER, "350102" + SERVER + LEASE + "0305c000020100" + "ff"),
        "dhcp-option-length",
    ),
    "message type 0": (dhcp(DISCOVER, "350100" + "ff"), "dhcp-option-value"),
}


@pytest.mark.parametrize("what", LOUD)
def test_what_is_broken_is_said_by_the_rule_that_knows_it(what):
    octets, rule = LOUD[what]
    assert rule in judged(octets).above_unusual


@pytest.mark.parametrize(
    ("field", "says"),
    [
        (0xFFFF ^ 0x8422, "complement of the pseudo-header"),
        (0x2284, "pseudo-header's sum with its octets exchanged"),
        (0xED10, "right value with its octets exchanged"),
    ],
)
def test_a_known_slip_of_a_driver_is_named(field, says):
    """Folded pseudo-header 8422, right checksum 10ed: worked out apart."""
    assert says in judged(changed(UDP, 40, f"{field:04x}")).verdict("udp-checksum").says


def test_what_the_host_is_does_not_matter_where_it_cannot():
    other = Host(bytes(6), bytes((198, 51, 100, 1)), 9)
    group = QUIET["multicast to its own link address"]
    assert judged(group, host=other._replace(port=5001)).fate.outcome == "delivered"
    assert judged(changed(ARP, 19, "05"), host=other).fate.rule == "arp-protocol-length"
    assert judged(UDP[:4], host=other, cut=True).fate.outcome == "cannot tell"


def test_an_fcs_wrong_in_one_bit_of_its_own_is_said():
    fcs = bytes.fromhex("3280f1aa")
    verdict = judged(reference("udp-hello"), fcs=fcs).verdict("fcs")
    assert "in the FCS itself" in verdict.says
    assert verdict.blamed == ()


def test_a_datagram_without_a_sum_and_without_its_end_has_no_sum():
    half = changed(changed(UDP, 40, "0000"), 16, "0300")
    half = changed(half, 38, "02ec")
    assert judged(half, cut=True).outcome("udp-checksum") == "absent"
