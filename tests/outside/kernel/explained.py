"""Where a host does otherwise than a strict one, and why: classes of differences.

A class holds for the hosts that it names. Its predicate looks at what we say of the frame and at
the ends that the host's traces leave open, never at where the frame comes from; it is as narrow as
the reason allows, so that a difference of another kind stays unexplained.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from tests.outside.kernel.fates import Judged
from tests.outside.kernel.meaning import (
    ADDRESS,
    APPLICATION,
    DELIVERED,
    HEADER_SUM,
    LENGTH,
    MAC,
    OPTIONS,
    PORT,
    PROTOCOL,
    REASSEMBLY,
    SIZE,
    SUM,
    TYPE,
    VERSION,
    Ends,
)

BOTH, KERNEL, SMALL = ("kernel", "small"), ("kernel",), ("small",)


class Explained(NamedTuple):
    """One kind of difference."""

    name: str
    hosts: tuple[str, ...]
    reason: str
    holds: Callable[[Judged, Ends], bool]


CLASSES: list[Explained] = []


def explained(
    name: str, hosts: tuple[str, ...], reason: str
) -> Callable[[Callable[[Judged, Ends], bool]], Callable[[Judged, Ends], bool]]:
    """Declare a class by its predicate."""

    def declare(holds: Callable[[Judged, Ends], bool]) -> Callable[[Judged, Ends], bool]:
        CLASSES.append(Explained(name, hosts, reason, holds))
        return holds

    return declare


_PROGRAMS = ("dhcp", "dhcpv6", "dns", "ntp", "tftp", "syslog")
_JOINED = ("e0000001", "e00000fb", "e00000fc")
_JOINED_IPV6 = ("ff02" + "00" * 13 + "01", "ff02" + "00" * 13 + "fb",
                "ff02" + "00" * 11 + "010002", "ff02" + "00" * 11 + "010003",
                "ff02" + "00" * 9 + "01ff005307", "ff02" + "00" * 9 + "01ff000077")  # fmt: skip


def _number(j: Judged, kind: str, field: str) -> int:
    layer = j.layer(kind)
    value = None if layer is None else layer.number(field)
    return -1 if value is None else value


def _target(j: Judged) -> bytes:
    """The IP destination, or nothing."""
    layer = j.layer("ipv4") or j.layer("ipv6")
    field = None if layer is None else layer.get("destination_address")
    return b"" if field is None else bytes(field.raw)


def _foreign_group(j: Judged) -> bool:
    target = _target(j)
    group = target[:1] == b"\xff" if len(target) == 16 else target[:1] and target[0] >> 4 == 14
    return bool(group) and target.hex() not in (*_JOINED, *_JOINED_IPV6)


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
    return bool(octet & 0x14) and PORT in ends


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
    return j.has("arp") and j.fate.rule == "host-ip-address" and ends == {DELIVERED}


@explained(
    "link-broadcast",
    KERNEL,
    "RFC 1122 3.3.6 says that a host should discard it; this kernel does not look",
)
def _broadcast(j: Judged, ends: Ends) -> bool:
    return j.fate.rule == "ipv4-unicast-in-broadcast" and ADDRESS not in ends


@explained(
    "jumbo-absent",
    BOTH,
    "RFC 2675 3 says that the option must be there; these hosts take the length 0 as it is",
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
    return "vlan" in j.fate.assumed and TYPE in ends


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
    "the segment is signed (RFC 2385) and the host has no key for it",
)
def _signed(j: Judged, ends: Ends) -> bool:
    tcp = j.layer("tcp")
    return tcp is not None and b"\x13\x12" in j.octets[tcp.start // 8 :] and PORT in ends


@explained(
    "class-e",
    KERNEL,
    "RFC 1122 3.2.1.3 forbids class E as a source; this kernel takes it for an address like others",
)
def _class_e(j: Judged, ends: Ends) -> bool:
    ip = j.layer("ipv4")
    source = b"\0" if ip is None else ip["source_address"].raw
    return j.fate.rule == "ipv4-source-address" and source[0] >= 240 and ADDRESS not in ends


@explained(
    "arp-operation",
    BOTH,
    "RFC 826 renews the table before it looks at the operation; these hosts look at it first",
)
def _operation(j: Judged, ends: Ends) -> bool:
    other = j.has("arp") and _number(j, "arp", "operation") not in (1, 2)
    return other and j.fate.outcome == "delivered" and ends == {ADDRESS, APPLICATION}


@explained(
    "directed-broadcast",
    BOTH,
    "the host knows its mask, --host does not tell it: in a frame for one station ours takes the"
    " last address of a network for that of another host",
)
def _directed(j: Judged, ends: Ends) -> bool:
    other = j.fate.rule == "host-ip-address" and ADDRESS not in ends
    return other and _target(j) == b"\xc0\x00\x02\xff"
