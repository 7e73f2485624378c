"""Assigned numbers against tables that other people keep.

Debian's netbase (/etc/protocols, /etc/services, /etc/ethertypes), the standard library's
``IPPROTO_`` numbers, and the tables of dpkt and dnspython.
"""

from __future__ import annotations

import socket
from pathlib import Path

import dns.edns
import dns.rcode
import dns.rdataclass
import dns.rdatatype
import dpkt

from framecheck.layers.assigned.arp import OPERATIONS
from framecheck.layers.assigned.dhcp_options import OPTIONS
from framecheck.layers.assigned.dhcpv6 import MESSAGE_TYPES as DHCPV6_MESSAGES
from framecheck.layers.assigned.dhcpv6 import OPTIONS as DHCPV6_OPTIONS
from framecheck.layers.assigned.dns import CLASSES, OPTION_CODES, RESPONSES, TYPES
from framecheck.layers.assigned.ethertypes import ETHERTYPES
from framecheck.layers.assigned.icmp import TYPES as ICMP_TYPES
from framecheck.layers.assigned.icmpv6 import TYPES as ICMPV6_TYPES
from framecheck.layers.assigned.ip_protocols import PROTOCOLS
from framecheck.layers.assigned.ports import TCP_PORTS, UDP_PORTS


def _rows(name: str) -> list[list[str]]:
    lines = Path("/etc", name).read_text().splitlines()
    return [line.split("#")[0].split() for line in lines if line.split("#")[0].strip()]


def _letters(text: str) -> str:
    return "".join(c for c in text.lower() if c.isalnum())


def test_protocol_numbers_are_netbases() -> None:
    theirs = {
        int(row[1]): {_letters(name) for name in (row[0], *row[2:])} for row in _rows("protocols")
    }
    both = theirs.keys() & PROTOCOLS.keys()

    # The registry's keyword for 4 is IPv4; netbase keeps the older "IP-ENCAP".
    assert {n for n in both if _letters(PROTOCOLS[n]) not in theirs[n]} == {4}
    assert both == {n for n in theirs if n < 256}  # the kernel names one more for its own use


def test_protocol_numbers_are_the_standard_librarys() -> None:
    for name in ("ICMP", "IGMP", "TCP", "UDP", "IPV6", "GRE", "ESP", "AH", "PIM", "SCTP"):
        assert PROTOCOLS[getattr(socket, f"IPPROTO_{name}")].upper() == name


def test_ports_are_netbases() -> None:
    theirs: dict[tuple[str, int], set[str]] = {}
    for name, number, *aliases in _rows("services"):
        port, transport = number.split("/")
        theirs.setdefault((transport, int(port)), set()).update((name, *aliases))
    ours = {
        **{("udp", n): name for n, name in UDP_PORTS.items()},
        **{("tcp", n): name for n, name in TCP_PORTS.items()},
    }
    both = theirs.keys() & ours.keys()

    assert {p: ours[p] for p in both if ours[p] not in theirs[p]} == {}
    assert len(both) > 50


def test_ethertypes_are_netbases() -> None:
    theirs = {int(row[1], 16): row[0] for row in _rows("ethertypes")}
    # Where netbase has a short name and the table the words behind it.
    spelled = {
        "AARP": "AppleTalk ARP",
        "ATALK": "AppleTalk",
        "802_1Q": "VLAN tag",
        "MPLS_MULTI": "MPLS with upstream label",
        "PPP_DISC": "PPPoE discovery",
        "PPP_SES": "PPPoE session",
        "EAPOL": "EAP over LAN",
        "S-TAG": "service VLAN tag",
    }
    both = theirs.keys() & ETHERTYPES.keys()

    for number in both:
        expected = spelled.get(theirs[number], theirs[number])
        assert ETHERTYPES[number].lower() == expected.lower()
    assert len(both) > 15


def test_ethertypes_are_dpkts() -> None:
    same = {"IP": "IPv4", "ARP": "ARP", "REVARP": "RARP", "8021Q": "VLAN tag", "IP6": "IPv6"}
    for theirs, ours in same.items():
        assert ETHERTYPES[getattr(dpkt.ethernet, f"ETH_TYPE_{theirs}")] == ours


def test_arp_operations_are_dpkts() -> None:
    assert OPERATIONS[dpkt.arp.ARP_OP_REQUEST] == "request"
    assert OPERATIONS[dpkt.arp.ARP_OP_REPLY] == "reply"
    assert OPERATIONS[dpkt.arp.ARP_OP_REVREQUEST] == "reverse request"
    assert OPERATIONS[dpkt.arp.ARP_OP_REVREPLY] == "reverse reply"


def test_icmp_types_are_dpkts() -> None:
    assert ICMP_TYPES[dpkt.icmp.ICMP_UNREACH] == "destination unreachable"
    assert ICMP_TYPES[dpkt.icmp.ICMP_TIMEXCEED] == "time exceeded"
    assert ICMP_TYPES[dpkt.icmp.ICMP_PARAMPROB] == "parameter problem"
    assert ICMP_TYPES[dpkt.icmp.ICMP_TSTAMPREPLY] == "timestamp reply"
    assert ICMP_TYPES[dpkt.icmp.ICMP_MASKREPLY] == "address mask reply"


def test_dns_numbers_are_dnspythons() -> None:
    assert {dns.rdatatype.to_text(dns.rdatatype.RdataType(n)) for n in TYPES} == set(TYPES.values())
    assert all(dns.rdatatype.from_text(name) == n for n, name in TYPES.items())
    known = {n: name for n, name in CLASSES.items() if n not in (2,)}  # CS is history
    assert all(dns.rdataclass.from_text(name) == n for n, name in known.items())
    assert next(n for n, name in RESPONSES.items() if name == "name error") == dns.rcode.NXDOMAIN
    assert next(n for n, name in RESPONSES.items() if name == "refused") == dns.rcode.REFUSED


def test_dns_option_codes_are_dnspythons() -> None:
    assert all(number in set(dns.edns.OptionType) for number in OPTION_CODES)


def test_icmpv6_types_are_dpkts() -> None:
    same = {
        "DST_UNREACH": "destination unreachable",
        "PACKET_TOO_BIG": "packet too big",
        "TIME_EXCEEDED": "time exceeded",
        "PARAM_PROB": "parameter problem",
        "ECHO_REQUEST": "echo request",
        "ECHO_REPLY": "echo reply",
        "MEMBERSHIP_QUERY": "multicast listener query",
        "MEMBERSHIP_REPORT": "multicast listener report",
        "MEMBERSHIP_REDUCTION": "multicast listener done",
    }
    for theirs, ours in same.items():
        assert ICMPV6_TYPES[getattr(dpkt.icmp6, f"ICMP6_{theirs}")] == ours
    assert ICMPV6_TYPES[dpkt.icmp6.ND_ROUTER_SOLICIT] == "router solicitation"
    assert ICMPV6_TYPES[dpkt.icmp6.ND_ROUTER_ADVERT] == "router advertisement"
    assert ICMPV6_TYPES[dpkt.icmp6.ND_NEIGHBOR_SOLICIT] == "neighbor solicitation"
    assert ICMPV6_TYPES[dpkt.icmp6.ND_NEIGHBOR_ADVERT] == "neighbor advertisement"
    assert ICMPV6_TYPES[dpkt.icmp6.ND_REDIRECT] == "redirect"


def test_every_message_type_of_dhcp_for_ipv6_is_there() -> None:
    """RFC 8415 7.3 (from memory): 1 to 13, in this order."""
    assert list(DHCPV6_MESSAGES)[:13] == list(range(1, 14))
    assert len({option.name for option in DHCPV6_OPTIONS.values()}) == len(DHCPV6_OPTIONS)


def test_dhcp_options_are_dpkts_by_number() -> None:
    same = {
        "NETMASK": "subnet_mask",
        "ROUTER": "router",
        "DNS_SVRS": "domain_name_server",
        "HOSTNAME": "host_name",
        "DOMAIN": "domain_name",
        "MTUSIZE": "interface_mtu",
        "BROADCASTADDR": "broadcast_address",
        "REQ_IP": "requested_ip_address",
        "LEASE_SEC": "ip_address_lease_time",
        "MSGTYPE": "dhcp_message_type",
        "SERVER_ID": "server_identifier",
        "PARAM_REQ": "parameter_request_list",
        "MESSAGE": "message",
        "MAXMSGSIZE": "maximum_dhcp_message_size",
        "VENDOR_ID": "vendor_class_identifier",
        "CLIENT_ID": "client_identifier",
    }
    for theirs, ours in same.items():
        assert OPTIONS[getattr(dpkt.dhcp, f"DHCP_OPT_{theirs}")].name == ours


def test_every_option_of_rfc_2132_is_there() -> None:
    """RFC 2132 sections 3 to 9: 0 to 61, 64 to 76, and 255; 62 and 63 came with RFC 2242."""
    assert {*range(62), *range(64, 77), 255} <= OPTIONS.keys()
    assert len({option.name for option in OPTIONS.values()}) == len(OPTIONS)
