"""Recorded traffic of real stacks: decoded as dpkt decodes it, and met with silence."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import dpkt
import pytest
from recordings import (
    ALL,
    LEFT,
    LOSSES,
    NEWER,
    RARE,
    SOUND,
    SUMMED,
    TAGGED,
    ethernet,
    frames,
    internet,
    pseudo_header,
    sum_of,
)

from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging import fate, judge
from framecheck.layers import decode_frame

# TCP options that each recording is known to hold: RFC 9293, 7323, 2018, 2385, 7413, 8684.
OPTIONS = {
    SUMMED: {1, 2, 3, 4, 8, 19, 30, 34},
    LEFT: {1, 2, 3, 4, 8},
    RARE: {1, 2, 3, 4, 8},
    TAGGED: {1, 2, 3, 4, 8},
    LOSSES: {1, 2, 3, 4, 5, 8},
}


def named(layers: tuple[Layer, ...], kind: str) -> Layer:
    return next(x for x in layers if x.kind == kind and not x.quoted)


def differences(layer: Layer, expected: dict[str, Any]) -> Iterator[str]:
    for name, value in expected.items():
        seen = layer.get(name)
        if seen is None or seen.value != value:
            yield f"{layer.kind}.{name} is {seen and seen.value!r}, dpkt reads {value!r}"


def link(frame: Any) -> dict[str, Any]:
    tags = getattr(frame, "vlan_tags", ())
    number = 0x8100 if tags else frame.type
    if isinstance(frame.data, dpkt.llc.LLC):
        return {"destination": frame.dst, "source": frame.src, "length": number}
    return {"destination": frame.dst, "source": frame.src, "type": number}


def tag(frame: Any) -> dict[str, Any]:
    (only,) = frame.vlan_tags
    return {
        "priority_code_point": only.pri,
        "drop_eligible_indicator": only.cfi,
        "vlan_identifier": only.id,
        "type": only.type,
    }


def resolution(arp: Any) -> dict[str, Any]:
    return {
        "hardware_type": arp.hrd,
        "protocol_type": arp.pro,
        "hardware_length": arp.hln,
        "protocol_length": arp.pln,
        "operation": arp.op,
        "sender_hardware_address": arp.sha,
        "sender_protocol_address": arp.spa,
        "target_hardware_address": arp.tha,
        "target_protocol_address": arp.tpa,
    }


def header(ip: Any) -> dict[str, Any]:
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
        "source_address": ip.src,
        "destination_address": ip.dst,
    }


def message(icmp: Any) -> dict[str, Any]:
    found = {"type": icmp.type, "code": icmp.code, "checksum": icmp.sum}
    if isinstance(icmp.data, dpkt.icmp.ICMP.Echo):
        found |= {"identifier": icmp.data.id, "sequence_number": icmp.data.seq}
    if isinstance(icmp.data, dpkt.icmp.ICMP.Unreach) and icmp.code == 4:
        found["next_hop_mtu"] = icmp.data.mtu
    return found


def datagram(udp: Any) -> dict[str, Any]:
    return {
        "source_port": udp.sport,
        "destination_port": udp.dport,
        "length": udp.ulen,
        "checksum": udp.sum,
    }


def segment(tcp: Any) -> dict[str, Any]:
    flags = ("cwr", "ece", "urg", "ack", "psh", "rst", "syn", "fin")
    return {
        "source_port": tcp.sport,
        "destination_port": tcp.dport,
        "sequence_number": tcp.seq,
        "acknowledgment_number": tcp.ack,
        "data_offset": tcp.off,
        "reserved": tcp._off_flags >> 8 & 15,  # dpkt counts nine flags (RFC 3540)
        **{name: tcp.flags >> 7 - i & 1 for i, name in enumerate(flags)},
        "window": tcp.win,
        "checksum": tcp.sum,
        "urgent_pointer": tcp.urp,
    }


READINGS = {
    dpkt.arp.ARP: ("arp", resolution),
    dpkt.ip.IP: ("ipv4", header),
    dpkt.icmp.ICMP: ("icmp", message),
    dpkt.udp.UDP: ("udp", datagram),
    dpkt.tcp.TCP: ("tcp", segment),
}


@pytest.mark.parametrize("name", ALL)
def test_fields_join_bit_for_bit_and_hold_what_stands_there(name):
    for octets in frames(name):
        at = 0
        for layer in decode_frame(octets):
            assert layer.start == at
            for field in layer.fields:
                assert field.start == at
                at = field.stop
                if field.whole and isinstance(field.value, int):
                    whole = int.from_bytes(octets, "big")
                    shift = len(octets) * 8 - field.stop
                    assert field.value == whole >> shift & ((1 << field.wanted) - 1)
            assert layer.stop == at
        assert at == len(octets) * 8


@pytest.mark.parametrize("name", ALL)
def test_fields_are_what_dpkt_reads(name):
    compared = 0
    for number, octets in enumerate(frames(name)):
        layers, other = decode_frame(octets), ethernet(octets)
        wrong = list(differences(layers[0], link(other)))
        if hasattr(other, "vlan_tags"):
            wrong += differences(named(layers, "vlan"), tag(other))
        inner = other.data
        if isinstance(inner, dpkt.llc.LLC):
            read = {"dsap": inner.dsap, "ssap": inner.ssap, "control": inner.ctl}
            wrong += differences(named(layers, "llc"), read)
            if inner.is_snap:
                code = inner.oui.to_bytes(3, "big")
                read = {"organization_code": code, "protocol_type": inner.type}
                wrong += differences(named(layers, "snap"), read)
            inner = inner.data
        while type(inner) in READINGS:
            kind, reading = READINGS[type(inner)]
            wrong += differences(named(layers, kind), reading(inner))
            compared += 1
            inner = inner.data
        assert not wrong, f"{name} frame {number}: {wrong}"
    assert compared > 50 or name == NEWER


@pytest.mark.parametrize("name", OPTIONS)
def test_options_are_what_dpkt_reads(name):
    seen = set()
    for octets in frames(name):
        found = internet(octets)
        if found is None:
            continue
        ip, layers = found[1], decode_frame(octets)
        if isinstance(ip.data, dpkt.tcp.TCP):
            ours = [(g.code, g.data) for g in named(layers, "tcp").groups]
            theirs = [(c, d) for c, d in dpkt.tcp.parse_opts(ip.data.opts)]
            assert ours == theirs
            seen |= {c for c, _ in theirs}
        ours = named(layers, "ipv4")
        assert octets[ours["destination_address"].stop // 8 : ours.stop // 8] == ip.opts
    assert seen >= OPTIONS[name]


@pytest.mark.parametrize("name", ALL)
def test_payload_and_padding_are_what_dpkt_leaves(name):
    for octets in frames(name):
        found = internet(octets)
        if found is None:
            continue
        at, ip = found
        end = at + ip.len
        layers = decode_frame(octets)
        padding = b"".join(
            octets[x.start // 8 : x.stop // 8] for x in layers if x.kind == "padding"
        )
        assert padding == octets[end:]
        if isinstance(ip.data, dpkt.tcp.TCP):
            data = b"".join(
                octets[x.start // 8 : x.stop // 8] for x in layers if x.kind == "payload"
            )
            assert data == ip.data.data


def expected_sums(octets: bytes) -> dict[str, tuple[int, int, bytes]]:
    """Every sum of a frame: carried, what dpkt's arithmetic gives, its pseudo-header."""
    found = internet(octets)
    if found is None:
        return {}
    at, ip = found
    start, end = at + ip.hl * 4, at + ip.len
    sums = {"ipv4-header-checksum": (ip.sum, sum_of(octets, at, start, at + 10), b"")}
    if ip.mf or ip.offset:
        return sums
    if isinstance(ip.data, dpkt.icmp.ICMP):
        sums["icmp-checksum"] = ip.data.sum, sum_of(octets, start, end, start + 2), b""
    elif isinstance(ip.data, dpkt.udp.UDP):
        ends = pseudo_header(ip, ip.data.ulen)
        right = sum_of(octets, start, start + ip.data.ulen, start + 6, ends) or 0xFFFF
        sums["udp-checksum"] = ip.data.sum, right, ends
    elif isinstance(ip.data, dpkt.tcp.TCP):
        ends = pseudo_header(ip, end - start)
        sums["tcp-checksum"] = ip.data.sum, sum_of(octets, start, end, start + 16, ends), ends
    return sums


@pytest.mark.parametrize("name", [*SOUND, LEFT])
def test_sums_are_what_dpkt_computes(name):
    outcomes = []
    for number, octets in enumerate(frames(name)):
        verdicts, _ = judge(View(octets, decode_frame(octets)))
        ours = {v.name: v for v in verdicts if v.name.endswith("checksum")}
        for sum_name, (carried, right, ends) in expected_sums(octets).items():
            verdict = ours[sum_name]
            outcomes.append(verdict.outcome)
            where = f"{name} frame {number} {sum_name}"
            half_done = 0xFFFF ^ dpkt.dpkt.in_cksum(ends) if ends else None
            if sum_name == "udp-checksum" and carried == 0:
                assert verdict.outcome == "absent", where
            elif carried == right:
                assert verdict.outcome == "match", where
            elif carried == half_done:
                assert verdict.outcome == "partial", where
            else:
                pytest.fail(f"{where}: the recording carries {carried:04x}, dpkt gives {right:04x}")
            assert verdict.carried == carried, where
            if verdict.outcome != "absent":
                assert verdict.computed == right, where
    if name == LEFT:
        assert outcomes.count("partial") > 50
    else:
        assert "partial" not in outcomes
    assert outcomes.count("match") > 50


@pytest.mark.parametrize("name", SOUND)
def test_sound_traffic_is_met_with_silence(name):
    loud = []
    for number, octets in enumerate(frames(name)):
        _, findings = judge(View(octets, decode_frame(octets)))
        loud += [(number, f.rule, f.says) for f in findings if f.certainty != "unusual"]
    assert loud == []


def test_sums_left_to_the_adapter_are_no_damage():
    loud = []
    for number, octets in enumerate(frames(LEFT)):
        verdicts, findings = judge(View(octets, decode_frame(octets)))
        loud += [(number, v.name) for v in verdicts if v.outcome == "mismatch"]
        loud += [(number, f.rule, f.says) for f in findings if f.certainty != "unusual"]
    assert loud == []


@pytest.mark.parametrize("name", ALL)
def test_sound_traffic_is_delivered(name):
    dropped = []
    for number, octets in enumerate(frames(name)):
        view = View(octets, decode_frame(octets))
        _, findings = judge(view)
        said = fate(view, findings)
        if said.outcome == "dropped":
            dropped.append((number, said.step, said.rule))
    assert dropped == []
