"""Chains that loop, run past the end or go on for ever: said once, in a bounded number of steps."""

from __future__ import annotations

import pytest
from judged_frames import judged

from framecheck.judging._examples import (
    ALL_NODES,
    ARP,
    ECHO_IPV6,
    ICMP,
    OFFER,
    SOLICITED,
    TCP,
    TWO,
    UDP,
    breaking,
    edited,
    inserting,
    over_ethernet,
    over_ipv6,
    over_udp,
    over_udp_ipv6,
)
from framecheck.judging.judge import MOST_BREACHES
from tests.effort import effort

_LINK = "00005e00530200005e005301"
_LLDP = "02070400005e005301" + "040403657468" + "06020078"


def tagged(count: int) -> bytes:
    return bytes.fromhex(_LINK + "81000001" * count + "0806") + ARP[14:42]


def session(payload: str) -> bytes:
    return over_ethernet(0x8864, f"11000007{2 + len(payload) // 2:04x}c021{payload}")


def lcp(options: str) -> bytes:
    return session(f"0101{4 + len(options) // 2:04x}{options}")


CHAINS = {
    "200 tags": (tagged(200), "vlan-tags-many"),
    "tags to the end": (tagged(360)[:1480], "vlan-tags-many"),
    "extension headers in a ring": (
        over_ipv6("3c00010400000000" * 170, 60, 64),
        "ipv6-extension-repeated",
    ),
    "hop-by-hop headers in a ring": (
        over_ipv6("0000010400000000" * 170, 0, 64),
        "ipv6-hop-by-hop-not-first",
    ),
    "an option past the end of its header": (
        over_ipv6("3a0001ff00000000" + ECHO_IPV6[54:].hex(), 0, 64),
        "ipv6-hop-by-hop-option-length",
    ),
    "a header past the end": (over_ipv6("3aff" + "00" * 1400, 0, 64), "ipv6-hop-by-hop-length"),
    "IPv4 options past the end": (
        bytes.fromhex(inserting(UDP, (), "86ff0000").octets),
        "ipv4-option-length",
    ),
    "an IPv4 option of no length": (
        bytes.fromhex(inserting(UDP, (), "86000000").octets),
        "ipv4-option-length",
    ),
    "a TCP option of no length": (edited(TCP, (54, "0800")), "tcp-option-length"),
    "a neighbor option of no length": (
        over_ipv6("8700000000000000" + TWO + "0e00000000000000" * 100, target=SOLICITED),
        "icmpv6-option-length",
    ),
    "a unit of LLDP past the end": (
        bytes.fromhex(breaking(over_ethernet(0x88CC, _LLDP + "0bff00", "0180c200000e"), ()).octets),
        "lldp-unit-length",
    ),
    "a name that points at itself": (
        over_udp("123401000001000000000000" + "c00c00010001", 49152, 53),
        "dns-pointer",
    ),
    "names that point at each other": (
        over_udp("123401000001000000000000" + "c00ec00c00010001", 49152, 53),
        "dns-pointer",
    ),
    "DHCP options past the end": (edited(OFFER, (285, "36ff")), "dhcp-option-beyond-end"),
    "a relay in a relay": (
        over_udp_ipv6("0c00" + TWO * 2 + ("0009ffff0c00" + TWO * 2) * 30, 547, 547),
        "dhcpv6-option-length",
    ),
    "an LCP option of no length": (lcp("0700" * 300), "lcp-option-length"),
    "records that are announced": (
        over_ipv6("8f0000000000ffff" + "04000000" * 300, 58, 1, target=ALL_NODES),
        "icmpv6-listener-records",
    ),
}


@pytest.mark.parametrize("what", CHAINS)
def test_a_bad_chain_is_said_once(what):
    octets, rule = CHAINS[what]
    assert judged(octets).above_unusual.count(rule) == 1


LONG = {
    "units of LLDP": over_ethernet(0x88CC, _LLDP + "0800" * 700 + "0000", "0180c200000e"),
    "neighbor options": over_ipv6(
        "8700000000000000" + TWO + "0e01000000000000" * 170, target=SOLICITED
    ),
    "records": over_udp("123481800000ffff00000000" + "c00c00010001" + "00" * 1300, 53, 49152),
    "bad records": over_udp(
        "123481800000006e00000000" + "c00c0001000100000e100000" * 110, 53, 49152
    ),
    "DHCPv6 options": over_udp_ipv6("01123456" + "00080000" * 330, 546, 547),
    "tags of PPPoE": over_ethernet(0x8863, "110900000578" + "01010000" * 350, "ffffffffffff"),
    "options of LCP": lcp("0702" * 600),
    "stations of a test frame": over_ethernet(0x9000, "0000" + "020000005e005301" * 180),
    "fields of NTP": over_udp("23" + "00" * 47 + "01040004" * 300, 123, 123),
    "no operations": bytes.fromhex(inserting(ICMP, (), "01" * 40).octets),
}
_MOST_CALLS = 100_000


@pytest.mark.parametrize("what", [*LONG, *CHAINS])
def test_a_long_chain_takes_a_bounded_number_of_steps(what):
    """Counted, not timed: calls of functions for a frame of at most 1514 octets."""
    octets = LONG[what] if what in LONG else CHAINS[what][0]
    assert len(octets) <= 1514
    judged(octets)  # what is loaded once is not counted
    assert effort(lambda: judged(octets)) < _MOST_CALLS
    counts: dict[tuple[str, str | None], int] = {}
    for found in judged(octets).findings:
        counts[found.rule, found.layer] = counts.get((found.rule, found.layer), 0) + 1
    assert max(counts.values(), default=0) <= MOST_BREACHES * 2
