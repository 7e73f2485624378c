"""One changed octet in any summed area of recorded traffic is found, in the right layer, there.

Which octets a sum covers is taken from dpkt's reading of the frame, not from ours. One octet more
or less changes a one's complement sum by less than 65535 and by more than nothing, so that no
change can stay unseen by the sum that covers it (RFC 1071 section 2). What is excepted is said
at each place; the rest must be a finding that names the octet.
"""

from __future__ import annotations

import random
from collections.abc import Iterator

import dpkt
import pytest
from recordings import SOUND, SUMMED, frames, internet

from framecheck.core.finding import Finding
from framecheck.core.view import View
from framecheck.judging import judge
from framecheck.layers import decode_frame

EVERY_OCTET_UP_TO = 450
"""Octets of a frame whose every octet is changed."""


def areas(octets: bytes) -> Iterator[tuple[str, int, int]]:
    """Layer, first octet and end of each area that a sum of this frame covers."""
    found = internet(octets)
    if found is None:
        return
    at, ip = found
    start = at + ip.hl * 4
    yield "ipv4", at, start
    # A fragment's transport sum cannot be verified from one fragment; 0000 is no UDP sum at all.
    if ip.mf or ip.offset or (isinstance(ip.data, dpkt.udp.UDP) and ip.data.sum == 0):
        return
    if isinstance(ip.data, dpkt.udp.UDP):
        yield "udp", start, start + ip.data.ulen
    elif isinstance(ip.data, dpkt.tcp.TCP | dpkt.icmp.ICMP):
        yield type(ip.data).__name__.lower(), start, at + ip.len


def distinct(name: str) -> list[bytes]:
    """One frame of each kind: protocol, flags, ports of a service, options, oddness of length."""
    chosen: dict[object, bytes] = {}
    for octets in frames(name):
        found = internet(octets)
        if found is None or len(octets) > EVERY_OCTET_UP_TO:
            continue
        ip = found[1]
        inner = ip.data
        kind: tuple[object, ...] = (ip.p, ip.hl, bool(ip.offset), ip.mf, ip.len & 1)
        if isinstance(inner, dpkt.udp.UDP):
            service = min(inner.sport, inner.dport)
            kind += (service, inner.data[2:3] if service == 53 else inner.data[242:243])
        elif isinstance(inner, dpkt.tcp.TCP):
            kind += (inner.flags, len(inner.opts))
        elif isinstance(inner, dpkt.icmp.ICMP):
            kind += (inner.type, inner.code)
        chosen.setdefault(kind, octets)
    return list(chosen.values())


def changed(octets: bytes, at: int, value: int) -> bytes:
    return octets[:at] + bytes((value,)) + octets[at + 1 :]


def names(findings: tuple[Finding, ...], layer: str, octet: int) -> bool:
    """Whether a finding that damages names this octet in this layer."""
    return any(
        f.layer == layer
        and f.certainty in ("impossible", "forbidden")
        and any(s.octets[0] <= octet < s.octets[1] for s in f.spans)
        for f in findings
    )


def excepted(octets: bytes, layer: str, start: int, at: int) -> str | None:
    """Why this change may go unreported by the transport's sum, or None."""
    inside = at - start
    carried = octets[start + 6 : start + 8] if layer == "udp" else octets[start + 16 : start + 18]
    if layer == "udp" and inside in (6, 7) and carried == b"\0\0":
        return "0000 says that there is no sum (RFC 768)"
    if layer in ("udp", "tcp"):
        verdicts, _ = judge(View(octets, decode_frame(octets)))
        if any(v.name == f"{layer}-checksum" and v.outcome == "partial" for v in verdicts):
            return "the sum is by chance that of the pseudo-header alone"
    if layer == "udp" and inside in (4, 5):
        # A shorter length sums fewer octets: what it leaves out can make up for the change.
        verdicts, _ = judge(View(octets, decode_frame(octets)))
        if any(v.name == "udp-checksum" and v.outcome == "match" for v in verdicts):
            return "the shorter datagram has the same sum"
    return None


def unseen(octets: bytes, layer: str, start: int, at: int, value: int) -> bool:
    damaged = changed(octets, at, value)
    _, findings = judge(View(damaged, decode_frame(damaged)))
    return not names(findings, layer, at) and excepted(damaged, layer, start, at) is None


@pytest.mark.parametrize("name", SOUND)
def test_any_octet_of_each_kind_of_frame(name):
    random_ = random.Random(1071)
    kinds, missed = distinct(name), []
    for turn, octets in enumerate(kinds):
        for layer, start, stop in areas(octets):
            for at in range(start, stop):
                # By turns one flipped bit, each in turn from octet to octet, and any other value.
                value = octets[at] ^ 1 << (at + turn) % 8
                if (at + turn // 8) % 2:
                    value = (octets[at] + random_.randrange(1, 256)) % 256
                if unseen(octets, layer, start, at, value):
                    missed.append((octets.hex(), layer, at, value))
    assert missed == []
    assert len(kinds) >= (40 if name == SUMMED else 10)


@pytest.mark.parametrize("name", SOUND)
def test_random_octets_of_every_frame(name):
    random_ = random.Random(1624)
    missed = []
    for number, octets in enumerate(frames(name)):
        for layer, start, stop in areas(octets):
            for _ in range(4):
                at = random_.randrange(start, stop)
                value = octets[at] ^ random_.randrange(1, 256)
                if unseen(octets, layer, start, at, value):
                    missed.append((number, layer, at, value))
    assert missed == []


def test_every_third_value_of_every_octet_of_one_header():
    """Every third wrong value at each octet of the first IPv4 header, others at the next octet."""
    octets = frames(SUMMED)[0]
    missed = [
        (at, value)
        for at in range(14, 34)
        for value in range(at % 3, 256, 3)
        if value != octets[at] and unseen(octets, "ipv4", 14, at, value)
    ]
    assert missed == []
