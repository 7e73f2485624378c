"""DNS and DHCP of the recordings, read by libraries that are not ours."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import dns.flags
import dns.message
import dns.rdatatype
import dpkt
import pytest
from pyroute2.dhcp.dhcp4msg import dhcp4msg
from pyroute2.dhcp.enums.dhcp import Option
from recordings import LEFT, LOSSES, RARE, SUMMED, TAGGED, frames, internet

from framecheck.core.layer import Group, Layer
from framecheck.layers import decode_frame

NAMES = (SUMMED, LEFT, TAGGED)


def messages(name: str, kind: str, *ports: int) -> Iterator[tuple[bytes, Layer]]:
    """Data of each datagram to or from these ports, by dpkt, and the layer that we read."""
    for octets in frames(name):
        found = internet(octets)
        udp = found[1].data if found else None
        if isinstance(udp, dpkt.udp.UDP) and {udp.sport, udp.dport} & set(ports):
            yield bytes(udp.data), next(x for x in decode_frame(octets) if x.kind == kind)


def name_of(other: Any) -> str:
    return other.to_text(omit_final_dot=True)


def data_of(group: Group) -> str:
    """The data of a record as a zone file writes them, from the fields that we read."""
    fields = [f for f in group.fields if f.name not in ("name", "type", "class", "ttl", "rdlength")]
    return " ".join(str(f.value) if f.reads is None else f.reads for f in fields)


@pytest.mark.parametrize("name", NAMES)
def test_dns_is_what_dnspython_reads(name):
    kinds = set()
    for data, layer in messages(name, "dns", 53):
        other = dns.message.from_wire(data, one_rr_per_rrset=True)
        assert layer["id"].value == other.id
        flags = {f.name.lower(): int(bool(other.flags & f)) for f in dns.flags.Flag}
        assert {flag: layer[flag].value for flag in flags} == flags
        assert (layer["opcode"].value, layer["rcode"].value) == (other.opcode(), other.rcode())
        sections = [[g for g in layer.groups if g.name == s] for s in SECTIONS]
        counts = [layer[c].value for c in ("qdcount", "ancount", "nscount", "arcount")]
        assert counts == [len(s) for s in sections]
        for ours, asked in zip(sections[0], other.question, strict=True):
            assert ours.get("qname").reads == name_of(asked.name)
            assert (ours.code, ours.get("qclass").value) == (asked.rdtype, asked.rdclass)
        # dnspython takes the pseudo-record OPT out of the additional section (RFC 6891).
        sections[3] = [g for g in sections[3] if g.code != dns.rdatatype.OPT]
        for ours, theirs in zip(sections[1:], other.sections[1:], strict=True):
            for group, answer in zip(ours, theirs, strict=True):
                assert group.get("name").reads == name_of(answer.name)
                assert group.code == answer.rdtype
                assert group.get("class").value == answer.rdclass
                assert group.get("ttl").value == answer.ttl
                text = answer[0].to_text()
                assert data_of(group) == text.rstrip("."), (group, text)
                kinds.add(dns.rdatatype.to_text(answer.rdtype))
        if other.opt is not None:
            opt = next(g for g in layer.groups if g.code == dns.rdatatype.OPT)
            assert opt.get("class").value == other.payload
    assert kinds >= {"A", "CNAME", "PTR", "MX", "TXT", "SRV"}


SECTIONS = ("question", "answer", "authority", "additional")


def text_of(value: bytes) -> str:
    return value.rstrip(b"\0").decode()


# How pyroute2 gives the value of an option, from the octets that we read.
BY_NAME = {
    "array8": list,
    "string": text_of,
    "uint8": lambda v: v[0],
    "message_type": lambda v: v[0],
    "bool": lambda v: bool(v[0]),
    "be16": lambda v: int.from_bytes(v, "big"),
    "be32": lambda v: int.from_bytes(v, "big"),
    "sbe32": lambda v: int.from_bytes(v, "big", signed=True),
    "ip4addr": lambda v: ".".join(map(str, v)),
    "ip4list": lambda v: [".".join(map(str, v[i : i + 4])) for i in range(0, len(v), 4)],
    "client_id": lambda v: {
        "type": v[0],
        "key": v[1:].hex(":") if v[0] == 1 else list(v[1:]),
    },
}


# Beside discover, offer, request, ack and release: NAK and inform, decline.
MORE_TYPES = {SUMMED: {6, 8}, RARE: {4}}


@pytest.mark.parametrize("name", [*NAMES, RARE, LOSSES])
def test_dhcp_is_what_pyroute2_reads(name):
    types = []
    formats = dict(dhcp4msg.options)
    for data, layer in messages(name, "dhcp", 67, 68):
        other = dhcp4msg(buf=data).decode()
        for field in ("op", "htype", "hlen", "hops", "xid", "secs", "flags"):
            assert layer[field].value == other[field], field
        for field in ("ciaddr", "yiaddr", "siaddr", "giaddr"):
            assert layer[field].reads == other[field], field
        assert layer["chaddr"].reads == other["chaddr"]
        assert layer["magic_cookie"].value.hex(":") == other["cookie"]
        for field in ("sname", "file"):
            assert text_of(layer[field].value) == other[field].rstrip("\0")
        ours = {}
        for group in layer.groups:
            if group.code in (0, 255):
                continue
            option = Option(group.code)
            how = BY_NAME[formats.get(option, "array8")]
            ours[option.name.lower()] = how(group.data)
        assert ours == other["options"]
        types.append(ours["message_type"])
    assert set(types) == {1, 2, 3, 5, 7} | MORE_TYPES.get(name, set())
