"""Where a host does otherwise than a strict one, and why: classes of differences.

A class holds for the hosts that it names. Its predicate looks at what we say of the frame and at
the ends that the host's traces leave open, never at where the frame comes from; it is as narrow as
the reason allows, so that a difference of another kind stays unexplained.
"""

from __future__ import annotations

from collections.abc import Callable
from ipaddress import IPv4Address, IPv6Address
from typing import NamedTuple

from framecheck.judging.judge import rule_of
from tests.outside.kernel.fates import Judged
from tests.outside.kernel.host import BROADCAST, GROUPS, GROUPS_IPV6
from tests.outside.kernel.meaning import (
    ADDRESS,
    APPLICATION,
    DELIVERED,
    HEADER_SUM,
    MAC,
    OPTIONS,
    PORT,
    SIZE,
    SUM,
    TYPE,
    Ends,
)

BOTH, KERNEL, SMALL = ("kernel", "small"), ("kernel",), ("small",)


class Explained(NamedTuple):
    """One kind of difference."""

    name: str
    hosts: tuple[str, ...]
    reason: str
    holds: Callable[[Judged, Ends], bool]
    lenient: bool
    """Whether the host takes what a strict one drops: then the rule says who does."""


CLASSES: list[Explained] = []


def explained(
    name: str, hosts: tuple[str, ...], reason: str, *, lenient: bool = False
) -> Callable[[Callable[[Judged, Ends], bool]], Callable[[Judged, Ends], bool]]:
    """Declare a class by its predicate."""

    def declare(holds: Callable[[Judged, Ends], bool]) -> Callable[[Judged, Ends], bool]:
        CLASSES.append(Explained(name, hosts, reason, holds, lenient))
        return holds

    return declare


RST, ACK = 4, 16
DIRECTED = IPv4Address(BROADCAST).packed
_PROGRAMS = ("dhcp", "dhcpv6", "dns", "ntp", "tftp", "syslog")
_JOINED = {IPv4Address(g).packed for g in ("224.0.0.1", *GROUPS)} | {
    IPv6Address(g).packed for g in ("ff02::1", "ff02::1:ff00:5307", "ff02::1:ff00:77", *GROUPS_IPV6)
}


def _number(j: Judged, kind: str, field: str) -> int:
    layer = j.layer(kind)
    value = None if layer is None else layer.number(field)
    return -1 if value is None else value


def _address(j: Judged, name: str) -> bytes:
    """An address of the IP header, or nothing."""
    layer = j.layer("ipv4") or j.layer("ipv6")
    field = None if layer is None else layer.get(name)
    return b"" if field is None else bytes(field.raw)


def _foreign_group(j: Judged) -> bool:
    target = _address(j, "destination_address")
    group = target[:1] == b"\xff" if len(target) == 16 else target[:1] and target[0] >> 4 == 14
    return bool(group) and target not in _JOINED


@explained(
    "program",
    BOTH,
    "the host's part ends at the socket; what a program there refuses, it has received",
)
def _program(j: Judged, ends: Ends) -> bool:
    rule = j.fate.rule or ""
    of_one = any(f.rule == rule and f.layer in _PROGRAMS for f in j.findings)
    return j.fate.step == APPLICATION and of_one and ends == {DELIVERED}


@explained(
    "foreign-group",
    BOTH,
    "the frame is for a group that this host did not join; without a list of groups ours assumes"
    " that it did",
)
def _group(j: Judged, ends: Ends) -> bool:
    assumed = "group" in j.fate.assumed or j.fate.step in (MAC, None)
    return assumed and _foreign_group(j) and ADDRESS in ends


@explained(
    "no-group-filter",
    BOTH,
    "a virtual device has no filter for groups; what an adapter drops reaches the layers above",
    lenient=True,
)
def _filter(j: Judged, ends: Ends) -> bool:
    rules = ("ipv4-multicast-address", "ipv6-multicast-address")
    return j.fate.step == MAC and j.fate.rule in rules and MAC not in ends


@explained(
    "connection",
    BOTH,
    "the segment belongs to a connection that this host does not have; one frame does not tell of"
    " connections",
)
def _connection(j: Judged, ends: Ends) -> bool:
    flags = j.layer("tcp")
    if flags is None or j.fate.outcome != "delivered":
        return False
    octet = j.octets[flags.start // 8 + 13]
    return PORT in ends if octet & RST else bool(octet & ACK) and ends == {PORT}


@explained(
    "error-about-nothing",
    KERNEL,
    "an ICMP error that quotes a datagram of which the host knows nothing goes to nobody",
)
def _error(j: Judged, ends: Ends) -> bool:
    old = _number(j, "icmp", "type") in (3, 4, 5, 11, 12)
    newer = _number(j, "icmpv6", "type") in (1, 2, 3, 4)
    return j.fate.outcome == "delivered" and (old or newer) and APPLICATION in ends


@explained(
    "arp-for-others",
    KERNEL,
    "RFC 826 lets a host renew what it knows of a sender whoever is the target; this kernel was"
    " told to enter it too",
)
def _arp(j: Judged, ends: Ends) -> bool:
    rules = ("host-ip-address", "arp-protocol-address")
    return j.has("arp") and j.fate.rule in rules and ends == {DELIVERED}


@explained(
    "link-broadcast",
    BOTH,
    "RFC 1122 3.3.6 says that a host should discard it; these hosts do not look",
    lenient=True,
)
def _broadcast(j: Judged, ends: Ends) -> bool:
    return j.fate.rule == "ipv4-unicast-in-broadcast" and ADDRESS not in ends


@explained(
    "jumbo-absent",
    KERNEL,
    "RFC 2675 3 says that the option must be there; this kernel takes the length 0 as it is",
    lenient=True,
)
def _jumbo(j: Judged, ends: Ends) -> bool:
    return j.fate.rule == "ipv6-hop-by-hop-jumbo-absent" and OPTIONS not in ends


@explained(
    "foreign-vlan",
    KERNEL,
    "the frame is for a VLAN in which this host has no interface, or has a tag in a tag; ours"
    " assumes that it has",
)
def _vlan(j: Judged, ends: Ends) -> bool:
    tags = sum(x.kind == "vlan" for x in j.layers)
    return ("vlan" in j.fate.assumed or tags > 1) and TYPE in ends


@explained(
    "unfinished-sum",
    BOTH,
    "a sum left to the adapter: read in a log it was printed by the sender, so ours assumes that"
    " the adapter finishes it; a receiver finds it wrong",
)
def _unfinished(j: Judged, ends: Ends) -> bool:
    return "checksum-offload" in j.fate.assumed and ends <= {SUM, HEADER_SUM}


@explained(
    "signed",
    KERNEL,
    "the segment is signed (RFC 2385) and the host has no key for it, or its options cannot be"
    " walked through to see whether it is",
)
def _signed(j: Judged, ends: Ends) -> bool:
    tcp = j.layer("tcp")
    signed = tcp is not None and b"\x13\x12" in j.octets[tcp.start // 8 :]
    broken = any(f.rule in ("tcp-option-length", "tcp-option-size") for f in j.findings)
    return j.fate.outcome == "delivered" and (signed or broken) and PORT in ends


@explained(
    "old-blocks",
    BOTH,
    "RFC 1122 3.2.1.3 forbids network 0 and class E as a source; these hosts look for 0.0.0.0 and"
    " 255.255.255.255 alone",
    lenient=True,
)
def _old_blocks(j: Judged, ends: Ends) -> bool:
    source = _address(j, "source_address")
    old = source[:1] >= b"\xf0" or source[:1] == b"\0"
    return j.fate.rule == "ipv4-source-address" and old and ADDRESS not in ends


@explained(
    "arp-operation",
    KERNEL,
    "RFC 826 renews the table before it looks at the operation; this kernel looks at it first",
)
def _operation(j: Judged, ends: Ends) -> bool:
    other = j.has("arp") and _number(j, "arp", "operation") not in (1, 2)
    return other and j.fate.outcome == "delivered" and ends == {ADDRESS, APPLICATION}


@explained(
    "arp-operation-late",
    SMALL,
    "RFC 826 renews the table before it looks at the operation, and so does this stack; after that"
    " it does nothing with one that it does not know",
    lenient=True,
)
def _operation_late(j: Judged, ends: Ends) -> bool:
    return (j.fate.rule or "").startswith("arp-operation-") and ends == {DELIVERED}


@explained(
    "directed-broadcast",
    BOTH,
    "the host knows its mask, --host does not tell it: in a frame for one station ours takes the"
    " last address of a network for that of another host, and does not know it as a source",
)
def _directed(j: Judged, ends: Ends) -> bool:
    other = j.fate.rule == "host-ip-address" and ADDRESS not in ends
    to = other and _address(j, "destination_address") == DIRECTED
    arp = j.layer("arp")
    sender = None if arp is None else arp.get("sender_protocol_address")
    asks = sender is not None and sender.raw == DIRECTED
    taken = j.fate.outcome != "dropped" and ADDRESS in ends
    return to or (taken and (asks or _address(j, "source_address") == DIRECTED))


@explained(
    "no-tags",
    SMALL,
    "this stack is built without VLAN tags: a tagged frame has a type that it does not know",
)
def _no_tags(j: Judged, ends: Ends) -> bool:
    return j.has("vlan") and TYPE in ends


@explained(
    "other-order",
    SMALL,
    "the frame breaks two rules, and this host looks for the later one of ours first",
)
def _order(j: Judged, ends: Ends) -> bool:
    if j.fate.outcome != "dropped":
        return False
    rules = (rule_of(f.rule, f.layer) for f in j.findings if f.layer is not None)
    return any(r is not None and r.drops in ends and r.drops != j.fate.step for r in rules)


@explained(
    "no-options",
    SMALL,
    "this stack steps over the options of IPv4 and most of those of IPv6 without a look",
    lenient=True,
)
def _no_options(j: Judged, ends: Ends) -> bool:
    rule = j.fate.rule or ""
    return j.fate.step == OPTIONS and OPTIONS not in ends and rule.startswith(("ipv4-", "ipv6-"))


@explained(
    "echo-only",
    SMALL,
    "this stack's ICMP knows echo requests; of all else not even the sum is taken",
)
def _echo_only(j: Judged, ends: Ends) -> bool:
    return j.has("icmp") and _number(j, "icmp", "type") != 8 and ends == {SIZE, APPLICATION}


@explained(
    "udp-length-unseen",
    SMALL,
    "this stack takes the length from IP and never looks at UDP's own",
    lenient=True,
)
def _udp_length(j: Judged, ends: Ends) -> bool:
    return j.fate.rule == "udp-length" and ends <= {SUM, PORT, DELIVERED}


@explained(
    "udp-surplus",
    SMALL,
    "UDP's length is shorter than IP's; this stack takes the sum over all that IP carries",
)
def _surplus(j: Judged, ends: Ends) -> bool:
    return any(f.rule == "udp-surplus" for f in j.findings) and ends == {SUM}


@explained(
    "from-nobody",
    SMALL,
    "this stack drops what comes from nobody, as 0.0.0.0 and :: are, but for a DHCP answer and for"
    " a solicitation of a neighbor, and what comes from an IPv4 address in the form of IPv6",
)
def _nobody(j: Judged, ends: Ends) -> bool:
    source = _address(j, "source_address")
    nobody = not any(source[:10]) and source[10:] in (b"", b"\xff\xff" + source[12:], bytes(6))
    return (nobody or source == bytes(4)) and ADDRESS in ends


@explained(
    "echo-to-many",
    BOTH,
    "a host may leave an echo request for many unanswered (RFC 1122 3.2.2.6), and these do",
)
def _echo_to_many(j: Judged, ends: Ends) -> bool:
    to = _address(j, "destination_address")
    many = to[:1] >= b"\xe0" or to == DIRECTED
    return many and _number(j, "icmp", "type") == 8 and ends == {SIZE, APPLICATION}


@explained(
    "unguarded",
    SMALL,
    "this stack does not ask for it",
    lenient=True,
)
def _unguarded(j: Judged, ends: Ends) -> bool:
    rules = (
        "icmpv6-option-length",
        "ipv4-destination-address",
        "ipv6-multicast-scope",
        "ipv6-source-address",
        "tcp-flags-contradict",
        "udp-checksum-zero-over-ipv6",
    )
    return j.fate.rule in rules and j.fate.step not in ends


@explained(
    "udp-length-zero",
    KERNEL,
    "over IPv6 this kernel takes UDP's length 0 for that of a jumbogram (RFC 2675 4), also where"
    " there is none",
    lenient=True,
)
def _udp_length_zero(j: Judged, ends: Ends) -> bool:
    zero = j.has("ipv6") and _number(j, "udp", "length") == 0
    return zero and j.fate.rule == "udp-length" and SIZE not in ends


@explained(
    "extension-absent",
    BOTH,
    "of an extension header nothing is left: the hosts miss it on their way along the headers, ours"
    " counts a missing header of any kind to the transport",
)
def _extension_absent(j: Judged, ends: Ends) -> bool:
    return j.fate.rule == "ipv6-next-header-absent" and OPTIONS in ends


@explained(
    "no-802.3",
    BOTH,
    "RFC 1122 2.3.3 says that a host should take IP in frames with a length; these hosts do not",
)
def _no_8023(j: Judged, ends: Ends) -> bool:
    return j.has("snap") and j.fate.outcome == "dropped" and TYPE in ends


@explained(
    "option-sizes",
    KERNEL,
    "this kernel does not look at the length of every kind of option",
    lenient=True,
)
def _option_sizes(j: Judged, ends: Ends) -> bool:
    return j.fate.rule == "ipv4-option-size" and OPTIONS not in ends


@explained(
    "source-route",
    KERNEL,
    "this kernel refuses what was sent along a source route, unless it is told otherwise",
)
def _source_route(j: Judged, ends: Ends) -> bool:
    ip = j.layer("ipv4")
    routed = ip is not None and any(g.code in (131, 137) for g in ip.groups)
    return routed and j.fate.outcome != "dropped" and ends == {OPTIONS, ADDRESS}


@explained(
    "obsolete-message",
    KERNEL,
    "the ICMP type is one that nobody uses any more, and this kernel does not know it",
)
def _obsolete(j: Judged, ends: Ends) -> bool:
    old = any(f.rule == "icmp-type-obsolete" for f in j.findings)
    return old and j.fate.outcome == "delivered" and ends == {APPLICATION, SIZE}


@explained(
    "sum-first",
    KERNEL,
    "of an ICMPv6 message this kernel takes the sum before it looks whether all of it is there",
)
def _sum_first(j: Judged, ends: Ends) -> bool:
    rule = j.fate.rule or ""
    absent = rule == "ipv6-next-header-absent"
    return j.fate.step == SIZE and (absent or rule.startswith("icmpv6-")) and ends == {SUM}


@explained(
    "option-of-others",
    BOTH,
    "the option has an assigned number, so ours assumes that the host knows it; these hosts do"
    " not, and do what the option's first two bits say",
)
def _option_of_others(j: Judged, ends: Ends) -> bool:
    kinds = ("ipv6-hop-by-hop", "ipv6-destination-options")
    codes = {g.code for x in j.layers if x.kind in kinds and not x.quoted for g in x.groups}
    return any(c >> 6 and c not in (0xC2, 0xC9) for c in codes) and OPTIONS in ends
