"""Every decoded field against dpkt, a packet library that is not ours, on recorded frames.

dpkt reads the same octets; where it keeps several of our fields in one number, its number is
taken apart here by the widths of the standard.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

import dpkt
import pytest
from layer_frames import recorded, reference

from framecheck.core.layer import Layer
from framecheck.layers import decode_frame

Expected = dict[str, int | bytes]


def _ethernet(eth: dpkt.ethernet.Ethernet) -> Expected:
    return {"destination": bytes(eth.dst), "source": bytes(eth.src)}


def _arp(arp: dpkt.arp.ARP) -> Expected:
    return {
        "hardware_type": arp.hrd,
        "protocol_type": arp.pro,
        "hardware_length": arp.hln,
        "protocol_length": arp.pln,
        "operation": arp.op,
        "sender_hardware_address": bytes(arp.sha),
        "sender_protocol_address": bytes(arp.spa),
        "target_hardware_address": bytes(arp.tha),
        "target_protocol_address": bytes(arp.tpa),
    }


def _ipv4(ip: dpkt.ip.IP) -> Expected:
    return {
        "version": ip.v,
        "ihl": ip.hl,
        "differentiated_services_code_point": ip.tos >> 2,
        "explicit_congestion_notification": ip.tos & 3,
        "total_length": ip.len,
        "identification": ip.id,
        "reserved_flag": ip.rf,
        "dont_fragment": ip.df,
        "more_fragments": ip.mf,
        "fragment_offset": ip.offset,
        "time_to_live": ip.ttl,
        "protocol": ip.p,
        "header_checksum": ip.sum,
        "source_address": bytes(ip.src),
        "destination_address": bytes(ip.dst),
    }


def _udp(udp: dpkt.udp.UDP) -> Expected:
    return {
        "source_port": udp.sport,
        "destination_port": udp.dport,
        "length": udp.ulen,
        "checksum": udp.sum,
    }


_FLAGS = ("cwr", "ece", "urg", "ack", "psh", "rst", "syn", "fin")


def _tcp(tcp: dpkt.tcp.TCP) -> Expected:
    return {
        "source_port": tcp.sport,
        "destination_port": tcp.dport,
        "sequence_number": tcp.seq,
        "acknowledgment_number": tcp.ack,
        "data_offset": tcp.off,
        **{flag: tcp.flags >> (7 - i) & 1 for i, flag in enumerate(_FLAGS)},
        "window": tcp.win,
        "checksum": tcp.sum,
        "urgent_pointer": tcp.urp,
    }


def _icmp(icmp: dpkt.icmp.ICMP) -> Expected:
    expected: Expected = {"type": icmp.type, "code": icmp.code, "checksum": icmp.sum}
    if isinstance(icmp.data, dpkt.icmp.ICMP.Echo):
        expected |= {"identifier": icmp.data.id, "sequence_number": icmp.data.seq}
    return expected


def _dhcp(dhcp: dpkt.dhcp.DHCP) -> Expected:
    names = ("op", "hops", "xid", "secs", "flags")
    return {
        **{name: getattr(dhcp, name) for name in names},
        "htype": dhcp.hrd,
        "hlen": dhcp.hln,
        **{
            n: getattr(dhcp, n).to_bytes(4, "big") for n in ("ciaddr", "yiaddr", "siaddr", "giaddr")
        },
        # dpkt keeps six octets of it, and drops the ten behind them.
        "chaddr": bytes(dhcp.chaddr).ljust(16, bytes(1)),
        "sname": bytes(dhcp.sname),
        "file": bytes(dhcp.file),
        "magic_cookie": dhcp.magic.to_bytes(4, "big"),
    }


def _pairs(octets: bytes) -> Iterator[tuple[str, Expected, Any]]:
    """What dpkt finds, layer by layer: our name, fields, and its own object."""
    eth = dpkt.ethernet.Ethernet(octets)
    yield "ethernet", _ethernet(eth), eth
    ip = eth.data
    if isinstance(ip, dpkt.arp.ARP):
        yield "arp", _arp(ip), ip
    if not isinstance(ip, dpkt.ip.IP):
        return
    yield "ipv4", _ipv4(ip), ip
    inner = ip.data
    if isinstance(inner, dpkt.icmp.ICMP):
        yield "icmp", _icmp(inner), inner
    if isinstance(inner, dpkt.tcp.TCP):
        yield "tcp", _tcp(inner), inner
    if isinstance(inner, dpkt.udp.UDP):
        yield "udp", _udp(inner), inner
        if {inner.sport, inner.dport} & {67, 68}:
            dhcp = dpkt.dhcp.DHCP(inner.data)
            yield "dhcp", _dhcp(dhcp), dhcp


def _plain(octets: bytes) -> bytes:
    """The frame without its VLAN tag, which dpkt keeps outside its layers."""
    return octets[:12] + octets[16:] if octets[12:14] == b"\x81\x00" else octets


def test_every_field_of_recorded_frames_agrees() -> None:
    seen: Counter[str] = Counter()
    for octets in map(_plain, recorded()):
        layers = {x.kind: x for x in reversed(decode_frame(octets)) if not x.quoted}
        for kind, expected, _ in _pairs(octets):
            found = {name: layers[kind][name].value for name in expected}
            assert found == expected
            seen[kind] += 1
    assert set(seen) == {"ethernet", "arp", "ipv4", "icmp", "udp", "tcp", "dhcp"}


def _series(layer: Layer, skip: tuple[int, ...]) -> list[tuple[int, bytes]]:
    return [(g.code, g.data) for g in layer.groups if g.code not in skip]


def test_every_option_of_recorded_frames_agrees() -> None:
    seen: Counter[str] = Counter()
    for octets in map(_plain, recorded()):
        layers = {x.kind: x for x in reversed(decode_frame(octets)) if not x.quoted}
        for kind, _, theirs in _pairs(octets):
            if kind == "tcp":
                options = [o for o in dpkt.tcp.parse_opts(theirs.opts) if o[0] > 1]
                assert _series(layers["tcp"], (0, 1)) == options
                seen["tcp"] += len(options)
            if kind == "dhcp":
                options = [(code, bytes(data)) for code, data in theirs.opts]
                assert _series(layers["dhcp"], (0, 255)) == options
                seen["dhcp"] += len(options)
    assert seen["tcp"] > 50
    assert seen["dhcp"] > 50


def test_the_payload_is_what_the_other_library_finds_too() -> None:
    seen = 0
    for octets in map(_plain, recorded()):
        layers = decode_frame(octets)
        ip = dpkt.ethernet.Ethernet(octets).data
        if layers[-1].kind == "padding":
            layers = layers[:-1]
        if (
            layers[-1].kind == "payload"
            and not layers[-1].quoted
            and layers[-2].kind in ("udp", "tcp")
        ):
            assert layers[-1]["data"].value == bytes(ip.data.data)
            seen += 1
    assert seen > 20


@pytest.mark.parametrize("name", sorted(reference()))
def test_every_field_of_the_reference_frames_agrees(name: str) -> None:
    octets = _plain(reference()[name])
    layers = {x.kind: x for x in decode_frame(octets)}
    for kind, expected, _ in _pairs(octets):
        assert {n: layers[kind][n].value for n in expected} == expected
