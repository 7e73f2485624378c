"""What the standards ask, sentence by sentence, against the rules: each has one, as heavy as it is.

The keys are documents and sections with the sentence in a few words, the values the rules that
check it and the heaviest certainty that its words allow: a MUST NOT is at least ``forbidden``.
Sections of IEEE 802.3, RFC 1112, 2464, 4291, 4443 and 6335 are from memory.
"""

from __future__ import annotations

import pytest

from framecheck.judging import all_rules

RULES = {r.name: r for r in all_rules()}
ORDER = ("unusual", "suspicious", "forbidden", "impossible")

LINK = {
    "RFC 894: short data are padded": ("unusual", "ethernet-frame-unpadded"),
    "RFC 1042: 64 octets with the FCS at least": ("impossible", "ethernet-frame-runt"),
    "RFC 1042: 1518 with the FCS at most, where the wire shows": (
        "forbidden",
        "ethernet-frame-oversize",
    ),
    "RFC 1042: longer ones, in memory": ("unusual", "ethernet-frame-long"),
    "IEEE 802.3 3.1: 14 octets of header": ("impossible", "ethernet-frame-too-short"),
    "IEEE 802.3 3.2.6: 1501 to 1535 is neither": ("impossible", "ethernet-type-undefined"),
    "arithmetic: known types with their octets exchanged": (
        "suspicious",
        "ethernet-type-byte-swapped",
    ),
    "IEEE 802.3 3.2.7: the length is in the frame": ("impossible", "ethernet-length-beyond-frame"),
    "IEEE 802.3 3.2.3: no group sends": ("impossible", "ethernet-source-group"),
    "practice: an address of zeros": ("suspicious", "ethernet-source-zero"),
    "practice: from where it goes": ("suspicious", "ethernet-source-destination-same"),
    "RFC 1122 2.4: for us, for all, for a group": ("unusual", "host-mac-address"),
    "RFC 1112 6.4: the address of a group": ("suspicious", "ipv4-multicast-address"),
    "RFC 2464 7: the address of a group": ("suspicious", "ipv6-multicast-address"),
    "RFC 1122 3.3.6: broadcast at the link and at IP": ("suspicious", "ipv4-unicast-in-broadcast"),
    "RFC 894: padding is zeros": (
        "suspicious",
        "padding-not-zero",
        "padding-behind-long-frame",
        "padding-repeats-frame",
    ),
    "IEEE 802.3 3.2.9: the FCS": ("impossible", "ethernet-fcs"),
    "practice: what a device leaves on": ("suspicious", "device-octets-left-on"),
    "RFC 1122 2.3.3: access point 6": ("forbidden", "llc-obsolete-access-point"),
    "practice: other access points": ("unusual", "llc-other-protocol"),
    "IEEE 802.1Q 9.6: identifier 4095": ("forbidden", "vlan-identifier-reserved"),
    "IEEE 802.3 annex 31B: a pause ends in the adapter": ("unusual", "ethernet-pause-frame"),
    "RFC 1122 2.3.1: trailers": ("suspicious", "ethernet-type-trailer"),
}
ARP = {
    "RFC 826: hardware type": ("suspicious", "arp-hardware-type"),
    "RFC 826: protocol type": ("impossible", "arp-protocol-type"),
    "RFC 826: lengths": ("impossible", "arp-hardware-length", "arp-protocol-length"),
    "RFC 5494 3: operation 0": ("forbidden", "arp-operation-reserved"),
    "RFC 826: other operations": ("suspicious", "arp-operation-unknown"),
    "practice: sender and source": ("suspicious", "arp-sender-not-frame-source"),
    "IEEE 802.3 3.2.3: no group sends": ("impossible", "arp-sender-group"),
    "practice: a sender of zeros": ("suspicious", "arp-sender-zero"),
    "RFC 826: the target of a request": ("unusual", "arp-request-target-filled"),
    "RFC 826: a reply goes to its target": ("suspicious", "arp-reply-not-for-target"),
    "RFC 1122 3.2.1.3: addresses of hosts": ("suspicious", "arp-protocol-address"),
    "RFC 826: 28 octets": ("impossible", "arp-incomplete"),
    "RFC 3927 2.5: link-local ones broadcast": ("unusual", "arp-link-local-unicast"),
}
IPV4 = {
    "RFC 1122 3.2.1.1: version": ("impossible", "ipv4-version", "ipv6-version"),
    "RFC 791 3.1: header length": (
        "impossible",
        "ipv4-ihl-too-small",
        "ipv4-ihl-beyond-data",
        "ipv4-header-incomplete",
    ),
    "RFC 1122 3.2.1.2: header checksum": ("impossible", "ipv4-header-checksum"),
    "RFC 1624 3: never ffff": ("suspicious", "ipv4-header-checksum-all-ones"),
    "RFC 791 3.1: total length": ("impossible", "ipv4-total-length"),
    "RFC 791 3.1: reserved flag": ("forbidden", "ipv4-reserved-flag"),
    "RFC 791 3.1: flags that contradict": ("suspicious", "ipv4-fragment-contradiction"),
    "RFC 791 3.2: multiples of 8": ("impossible", "ipv4-fragment-length"),
    "RFC 791 3.2: 65535 octets": ("impossible", "ipv4-fragment-beyond-end"),
    "RFC 791 3.2: fragments side by side": ("suspicious", "ipv4-fragment-overlap"),
    "practice: one end": ("impossible", "ipv4-fragment-end"),
    "RFC 1858: headers in one piece": ("suspicious", "ipv4-fragment-inside-header"),
    "RFC 1122 3.2.1.7: time to live 0": ("forbidden", "ipv4-time-to-live-zero"),
    "practice: start values": ("unusual", "ipv4-time-to-live-unusual"),
    "RFC 2474, 3168: second octet": (
        "unusual",
        "ipv4-congestion-experienced",
        "ipv4-code-point-local",
    ),
    "RFC 1122 3.2.1.3: sources": (
        "forbidden",
        "ipv4-source-address",
        "ipv4-source-unspecified",
        "ipv4-source-broadcast",
    ),
    "RFC 1122 3.2.1.3: destinations": ("unusual", "host-ip-address"),
    "RFC 1122 3.2.1.3: destinations of nobody": ("suspicious", "ipv4-destination-address"),
    "RFC 1122 3.2.2.1: unknown protocols": ("suspicious", "ipv4-protocol-unassigned"),
    "RFC 1122 3.2.1.8: option lengths": ("impossible", "ipv4-option-length"),
    "RFC 791 3.1: option pointers": ("impossible", "ipv4-option-pointer"),
    "RFC 791 3.1: option padding": ("suspicious", "ipv4-option-padding"),
    "practice: options": ("unusual", "ipv4-options-present"),
    "RFC 6890: blocks for other uses": ("unusual", "ipv4-source-special-block"),
}
ICMP = {
    "RFC 792: 8 octets": ("impossible", "icmp-incomplete"),
    "RFC 792: checksum": ("impossible", "icmp-checksum"),
    "RFC 1122 3.2.2: types and codes": ("suspicious", "icmp-type-unknown", "icmp-code-unknown"),
    "RFC 1122 3.2.2: quotes": ("suspicious", "icmp-quote-too-short", "icmp-quote-changed"),
    "RFC 1122 3.2.2.6: an echo returns its data": ("forbidden", "icmp-echo-data"),
    "RFC 4443 4.2: an echo returns its data": ("forbidden", "icmpv6-echo-data"),
    "RFC 6918: types of the past": ("unusual", "icmp-type-obsolete"),
}
UDP = {
    "RFC 768: length": ("impossible", "udp-length", "udp-header-incomplete"),
    "RFC 768: octets behind the length": ("suspicious", "udp-surplus"),
    "RFC 768: no checksum": ("unusual", "udp-checksum-absent"),
    "RFC 768: zero is sent as ffff": ("forbidden", "udp-checksum-zero-sent"),
    "RFC 1122 4.1.3.4: checksum": ("impossible", "udp-checksum"),
    "RFC 8200 8.1: a checksum over IPv6": ("forbidden", "udp-checksum-zero-over-ipv6"),
    "RFC 768: source port 0": ("unusual", "udp-source-port-zero"),
    "RFC 6335 6: port 0": ("suspicious", "udp-destination-port-zero"),
}
TCP = {
    "RFC 9293 3.1: data offset": (
        "impossible",
        "tcp-data-offset-too-small",
        "tcp-data-offset-beyond-segment",
        "tcp-header-incomplete",
    ),
    "RFC 9293 3.1: reserved bits": ("suspicious", "tcp-reserved-bits"),
    "RFC 9293 3.10.7: flags": ("suspicious", "tcp-flags-contradict", "tcp-opening-pushes"),
    "RFC 9293 3.1: fields without their flag": (
        "unusual",
        "tcp-acknowledgment-stale",
        "tcp-urgent-pointer-stale",
    ),
    "RFC 9293 3.1: checksum": ("impossible", "tcp-checksum"),
    "RFC 9293 3.1: option lengths": ("impossible", "tcp-option-length"),
    "RFC 9293 MUST-69: zeros behind the options": ("forbidden", "tcp-option-padding"),
    "RFC 9293, 2018, 7323: sizes of options": ("impossible", "tcp-option-size"),
    "RFC 9293 MUST-65: options of SYN": ("forbidden", "tcp-option-without-syn"),
    "RFC 9293 MUST-57: SYN to many": ("forbidden", "tcp-opening-to-many"),
    "RFC 1323 2.3: shift of 14": ("forbidden", "tcp-window-scale-shift"),
}
DHCP = {
    "RFC 1542 2.1: 300 octets": ("unusual", "dhcp-message-short"),
    "RFC 2131 4.1: the last option is 255": ("forbidden", "dhcp-end-missing"),
    "RFC 2131 4.1: zeros behind it": ("suspicious", "dhcp-end-tail"),
    "RFC 2131 4.1: direction and ports": ("forbidden", "dhcp-operation", "dhcp-message-direction"),
    "RFC 2131 4.1: from nobody to all": ("forbidden", "dhcp-client-address"),
    "RFC 2131 4.1: where an answer goes": ("suspicious", "dhcp-reply-destination"),
    "RFC 2131 4.1: overloaded fields": ("forbidden", "dhcp-overload-end"),
    "RFC 3396: repeated options": ("unusual", "dhcp-option-repeated"),
    "RFC 2132 9.7: server identifier": ("suspicious", "dhcp-server-identifier-absent"),
    "RFC 2131 tables 3 and 5: must": (
        "forbidden",
        "dhcp-server-identifier-missing",
        "dhcp-lease-time-missing",
        "dhcp-requested-address-missing",
    ),
    "RFC 2131 tables 3 and 5: must not": ("forbidden", "dhcp-option-not-allowed"),
    "RFC 2131 2: flags": ("forbidden", "dhcp-flags-reserved"),
    "RFC 2131 3: cookie": ("forbidden", "dhcp-cookie"),
    "RFC 2132: lengths and values": ("forbidden", "dhcp-option-length", "dhcp-option-value"),
    "RFC 2131 4.4.5: times": ("forbidden", "dhcp-times-order"),
    "practice: client and source": ("suspicious", "dhcp-client-not-frame-source"),
}
DNS = {
    "RFC 1035 4.1.1: 12 octets": ("impossible", "dns-incomplete"),
    "RFC 1035 4.1.1: Z": ("suspicious", "dns-reserved-bit"),
    "RFC 1035 4.1.1: codes": (
        "unusual",
        "dns-operation-unusual",
        "dns-response-code-unusual",
        "dns-question-count",
    ),
    "RFC 1035 4.1.4: labels": ("impossible", "dns-label-reserved"),
    "RFC 1035 2.3.4: 255 octets": ("impossible", "dns-name-too-long"),
    "RFC 1035 4.1.4: pointers": ("impossible", "dns-pointer"),
    "RFC 1035 4.1: counts": ("impossible", "dns-counts-unfilled"),
    "RFC 1035 4.1: nothing left": ("suspicious", "dns-octets-left-over"),
    "RFC 1035 4.2.1: 512 octets": ("suspicious", "dns-long-without-extension"),
    "RFC 1035 4.1.1: identifier and question": (
        "suspicious",
        "dns-answer-identifier",
        "dns-answer-question",
    ),
}
IPV6 = {
    "RFC 8200 3: payload length": ("impossible", "ipv6-payload-length"),
    "RFC 8200 4.1: hop-by-hop first": ("impossible", "ipv6-hop-by-hop-not-first"),
    "RFC 8200 4.5: multiples of 8": (
        "impossible",
        "ipv6-fragment-length",
        "ipv6-fragment-beyond-end",
    ),
    # The words of RFC 5722 4 are a MUST NOT.
    "RFC 8200 4.5: overlaps": ("forbidden", "ipv6-fragment-overlap"),
    "RFC 8200 8.1: ICMPv6 checksum": ("impossible", "icmpv6-checksum"),
    "RFC 4291 2.7: sources": ("forbidden", "ipv6-source-address", "ipv6-source-unspecified"),
    "RFC 4861: hop limit and code": (
        "forbidden",
        "icmpv6-neighbor-hop-limit",
        "icmpv6-neighbor-code",
    ),
    "RFC 4861: option lengths": ("impossible", "icmpv6-option-length"),
    "RFC 4861: lengths": ("impossible", "icmpv6-neighbor-incomplete"),
    "RFC 4861: who may send": (
        "forbidden",
        "icmpv6-router-source",
        "icmpv6-neighbor-target",
        "icmpv6-solicitation-from-nobody",
        "icmpv6-nobody-with-link-address",
        "icmpv6-advertisement-to-group",
    ),
    "RFC 4861 4.3: the group of the solicited": ("suspicious", "icmpv6-solicitation-destination"),
    "RFC 4942 2.1.9.5: padding of options": (
        "suspicious",
        "ipv6-hop-by-hop-option-padding-long",
        "ipv6-destination-options-option-padding-long",
    ),
}
SENTENCES = {
    f"{group}, {key}": value
    for group, sentences in {
        "link": LINK,
        "ARP": ARP,
        "IPv4": IPV4,
        "ICMP": ICMP,
        "UDP": UDP,
        "TCP": TCP,
        "DHCP": DHCP,
        "DNS": DNS,
        "IPv6": IPV6,
    }.items()
    for key, value in sentences.items()
}


@pytest.mark.parametrize("sentence", SENTENCES)
def test_each_sentence_of_the_standards_has_its_rule(sentence):
    certainty, *names = SENTENCES[sentence]
    assert names
    assert {RULES[name].certainty for name in names} == {certainty}


# Laws of plausibility: what no standard forbids is never more than suspicious.
PLAUSIBLE = (
    "-changed",
    "-run",
    "-frame-repeated",
    "-text-octets",
    "-text-alphabet",
    "-text-encoding",
)


def test_what_is_only_implausible_is_never_more_than_suspicious():
    found = [r for n, r in RULES.items() if n.endswith(PLAUSIBLE) and r.source.kind != "standard"]
    assert len(found) >= 12
    assert {r.certainty for r in found} <= {"suspicious", "unusual"}


def test_each_layer_that_is_read_has_a_rule():
    from framecheck.layers import kinds

    ruled = {r.layer for r in RULES.values()}
    # A header of five octets that only says what follows.
    assert {k.name for k in kinds()} - ruled <= {"snap"}
