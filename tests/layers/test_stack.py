"""From one layer to the next: what a length leaves over, what a number leads to, and how far."""

from __future__ import annotations

import pickle

import pytest
from layer_frames import recorded, reference, vectors

from framecheck.core.layer import Layer, walk
from framecheck.layers import build, decode_frame, kind, kinds, summary
from framecheck.layers._stack import MOST_LAYERS

ETHERNET = ("ethernet", {"destination": bytes.fromhex("00005e005302")})
ENDS = {"source_address": bytes((192, 0, 2, 1)), "destination_address": bytes((192, 0, 2, 2))}
PORTS = {"source_port": 5000, "destination_port": 5001}


def stack(layers: tuple[Layer, ...]) -> list[tuple[str, int, int]]:
    return [(x.kind + ("*" if x.quoted else ""), *x.octets) for x in layers]


def udp_frame(ip: dict[str, int], udp: dict[str, int], payload: bytes = b"frost") -> list:  # type: ignore[type-arg]
    frame = build([ETHERNET, ("ipv4", {**ENDS, **ip}), ("udp", {**PORTS, **udp})], payload, 60)
    return stack(decode_frame(frame))[2:]


def test_what_stands_behind_the_total_length_is_padding() -> None:
    assert udp_frame({}, {}) == [("udp", 34, 42), ("payload", 42, 47), ("padding", 47, 60)]


@pytest.mark.parametrize("total", [0, 19, 300, 65535])
def test_a_total_length_that_cannot_be_takes_what_is_there(total: int) -> None:
    udp = {"length": 13}
    behind = [("udp", 34, 42), ("payload", 42, 47), ("payload", 47, 60)]

    assert udp_frame({"total_length": total}, udp) == behind


def test_what_ip_carries_behind_the_udp_length_is_a_payload_of_its_own() -> None:
    """The surplus area: RFC 768 has no word for it, and no checksum covers it."""
    assert udp_frame({}, {"length": 10}) == [
        ("udp", 34, 42),
        ("payload", 42, 44),
        ("payload", 44, 47),
        ("padding", 47, 60),
    ]


@pytest.mark.parametrize("length", [0, 7, 99, 65535])
def test_a_udp_length_that_cannot_be_takes_what_ip_carries(length: int) -> None:
    assert udp_frame({}, {"length": length})[1:] == [("payload", 42, 47), ("padding", 47, 60)]


def test_a_later_fragment_has_no_transport_header() -> None:
    """RFC 791 3.2: the offset counts from the first octet of the original datagram's data."""
    assert udp_frame({"fragment_offset": 1}, {}) == [("payload", 34, 47), ("padding", 47, 60)]


def test_a_first_fragment_has_one() -> None:
    assert udp_frame({"more_fragments": 1}, {})[0] == ("udp", 34, 42)


def test_an_error_quotes_the_datagram_that_it_is_about() -> None:
    """RFC 792: the internet header and the first 64 bits of the data."""
    quoted = build([("ipv4", ENDS), ("udp", PORTS)], bytes(100))[:28]
    frame = build([ETHERNET, ("ipv4", ENDS), ("icmp", {"type": 3, "code": 3})], quoted)

    assert stack(decode_frame(frame))[2:] == [
        ("icmp", 34, 42),
        ("ipv4*", 42, 62),
        ("udp*", 62, 70),
    ]


def test_what_stands_behind_a_quoted_datagram_is_payload() -> None:
    quoted = build([("ipv4", ENDS), ("udp", PORTS)], b"frost") + b"more"
    frame = build([ETHERNET, ("ipv4", ENDS), ("icmp", {"type": 11, "code": 0})], quoted, 100)

    assert stack(decode_frame(frame))[3:] == [
        ("ipv4*", 42, 62),
        ("udp*", 62, 70),
        ("payload*", 70, 75),
        ("payload", 75, 79),
        ("padding", 79, 100),
    ]


def test_an_error_within_an_error_is_not_opened() -> None:
    inner = build([("ipv4", ENDS), ("icmp", {"type": 3})], build([("ipv4", ENDS)]))
    frame = build([ETHERNET, ("ipv4", ENDS), ("icmp", {"type": 3})], inner)

    assert [k for k, _, _ in stack(decode_frame(frame))[3:]] == ["ipv4*", "icmp*", "payload*"]


def test_an_802_3_length_ends_what_it_carries() -> None:
    layers = decode_frame(reference()["snap-arp-request"])

    assert stack(layers) == [
        ("ethernet", 0, 14),
        ("llc", 14, 17),
        ("snap", 17, 22),
        ("arp", 22, 50),
        ("padding", 50, 60),
    ]
    assert layers[1].limit == layers[3].limit == 50 * 8


def test_paddings_of_ip_and_of_802_3_are_one() -> None:
    frame = build(
        [("ethernet", {"length": 40}), ("llc", {}), ("snap", {}), ("ipv4", ENDS)], b"ab", 60
    )

    assert stack(decode_frame(frame))[-2:] == [("payload", 42, 44), ("padding", 44, 60)]


@pytest.mark.parametrize("number", [1500, 1501, 1535, 1536])
def test_a_number_is_a_length_up_to_1500(number: int) -> None:
    """RFC 1122 2.3.3; IEEE 802.3 3.2.6 (from memory) leaves 1501 to 1535 undefined."""
    (ethernet, *_) = decode_frame(build([("ethernet", {"type": number})], bytes(46)))

    assert ethernet.fields[2].name == ("length" if number == 1500 else "type")


def test_tags_in_tags_end() -> None:
    frame = bytes(12) + bytes.fromhex("81000064") * 1000

    layers = decode_frame(frame)

    assert len(layers) == MOST_LAYERS + 1
    assert layers[-1].kind == "payload"


@pytest.mark.parametrize("starts_at", ["inside", "unknown", "anything", "udp"])
def test_what_no_table_reads_is_payload(starts_at: str) -> None:
    assert stack(decode_frame(bytes(50), starts_at)) == [("payload", 0, 50)]


def test_a_frame_may_begin_behind_its_link_header() -> None:
    whole = reference()["dhcp-discover"]

    assert [k for k, _, _ in stack(decode_frame(whole[14:], "ipv4"))] == ["ipv4", "udp", "dhcp"]
    arp = decode_frame(reference()["arp-request"][14:], "arp")
    assert stack(arp) == [("arp", 0, 28), ("padding", 28, 46)]


def test_no_octets_have_no_layers() -> None:
    assert decode_frame(b"") == ()
    assert summary((), b"") == "no octets"


def test_a_kind_that_nobody_declares_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        kind("token-ring")
    names = [k.name.replace("-", "_") for k in kinds()]
    assert names == sorted(names)


def test_layers_travel_between_processes() -> None:
    for octets in (*reference().values(), *(v.octets for v in vectors())):
        layers = decode_frame(octets)
        copied = pickle.loads(pickle.dumps(layers))
        assert [f.reads for f in walk(copied)] == [f.reads for f in walk(layers)]


SAYS = {
    "arp-request": "ARP asks for 192.0.2.2 (from 192.0.2.1)",
    "arp-reply": "ARP: 192.0.2.2 is at 00:00:5e:00:53:02",
    "icmp-echo": "echo request 1 from 192.0.2.1 to 192.0.2.2",
    "udp-hello": "UDP from 192.0.2.1 port 5000 to 192.0.2.2 port 5001, 5 octets of data",
    "tcp-syn": "TCP opens, from 192.0.2.1 port 49152 to 192.0.2.2 port 80",
    "dns-query": "DNS asks for the address of example.com",
    "dhcp-discover": "DHCP looks for a server, for 00:00:5e:00:53:01",
    "vlan-arp-request": "ARP asks for 192.0.2.2 (from 192.0.2.1), on VLAN 100",
    "snap-arp-request": "ARP asks for 192.0.2.2 (from 192.0.2.1)",
}


@pytest.mark.parametrize("name", sorted(reference()))
def test_a_frame_says_what_it_does(name: str) -> None:
    octets = reference()[name]

    assert summary(decode_frame(octets), octets) == SAYS[name]


SAYS_ON_A_LINK = {
    "rarp-request": "RARP asks for the address of 00:00:5e:00:53:01",
    "rarp-reply": "RARP: 00:00:5e:00:53:02 has 192.0.2.2",
    "vlan-service-tag": "ARP asks for 192.0.2.2 (from 192.0.2.1), on VLAN 100 in 200",
    "icmpv6-echo-reply": "echo reply 7 from 2001:db8::2 to 2001:db8::1",
    "icmpv6-listener-query": (
        "multicast listener query for any group from fe80::200:5eff:fe00:5301"
    ),
    "icmpv6-neighbor-advertisement": (
        "neighbor advertisement: fe80::200:5eff:fe00:5301 is at 00:00:5e:00:53:01"
    ),
    "icmpv6-redirect": "redirect: 2001:db8::2 is reached through fe80::200:5eff:fe00:5302",
    "icmpv6-router-advertisement": (
        "router advertisement: fe80::200:5eff:fe00:5301 is a router, prefix 2001:db8::/64"
    ),
    "icmpv6-port-unreachable": (
        "destination unreachable (port unreachable) for 2001:db8::1 port 5001, "
        "from 2001:db8::1 to 2001:db8::2"
    ),
    "igmp-leave": "IGMP: 192.0.2.1 leaves 224.0.0.251",
    "igmp-query-version-2": "IGMP asks who listens to any group",
    "igmp-report-version-3": "IGMP: 192.0.2.1 reports 2 groups",
    "ipv6-fragment-last": (
        "IPv6 with a fragment of UDP, at octet 32, from 2001:db8::1 to 2001:db8::2"
    ),
    "tcp-over-ipv6": "TCP opens, from 2001:db8::1 port 49152 to 2001:db8::2 port 80",
    "dhcp-bootp": "BOOTP request, client 00:00:5e:00:53:01",
    "dhcpv6-solicit": "DHCPv6 looks for a server, for 00:00:5e:00:53:01",
    "dhcpv6-reply": "DHCPv6 answers 00:00:5e:00:53:01 with 2001:db8::2",
    "dns-mdns-answer": "DNS: alarm.local is at fe80::200:5eff:fe00:5301",
    "ntp-answer": "NTP answers: it is 2024-03-20 12:00:00.750000 UTC",
    "tftp-read-request": 'TFTP asks to read "frost.img"',
    "tftp-error": "TFTP fails: file not found",
    "syslog-bare": "syslog line (user, notice): frost at sensor 3",
    "lldp-station": 'LLDP: this is "frost-alarm", port "eth0"',
    "stp-configuration": ("spanning tree: 00:00:5e:00:53:02 knows 00:00:5e:00:53:01 as the root"),
    "stp-topology-change": "spanning tree: the topology changes",
    "pppoe-offer": 'PPPoE discovery: offer, "orchard1"',
    "lcp-configure-request": "LCP configure-request 1",
    "ipcp-configure-nak": "IPCP configure-nak 4 for 192.0.2.2",
    "eapol-start": "EAP over LAN: start",
    "mac-control-pause": "MAC control: pause for 33553920 bit times",
    "loopback-forward": "loopback test 7",
}


@pytest.mark.parametrize("name", sorted(SAYS_ON_A_LINK))
def test_each_protocol_of_a_link_says_what_it_does(name: str) -> None:
    (vector,) = (v for v in vectors() if f"{v.kind}-{v.name}" == name)
    layers = decode_frame(vector.octets, vector.starts_at)

    assert summary(layers, vector.octets) == SAYS_ON_A_LINK[name]


def test_every_recorded_frame_says_something_of_its_own() -> None:
    for octets in recorded():
        said = summary(decode_frame(octets), octets)
        assert said.isprintable()
        assert "no known header" not in said
        assert 10 < len(said) < 120
