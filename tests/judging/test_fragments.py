"""Fragments put together: any cut in any order gives the sum of the whole datagram.

The datagrams and their sums are made with dpkt; RFC 791 appendix A gives the lengths of example 2.
"""

from __future__ import annotations

import random

import dpkt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from judged_frames import BOARD, judged_in_order

from framecheck.core.view import View
from framecheck.judging import Past, fate, judge
from framecheck.judging._examples import UDP_LONG, UDP_LONG_IPV6, fragment, over_udp
from framecheck.judging.memory.fragments import MOST_FRAMES, MOST_OPEN, Fragments
from framecheck.layers import decode_frame

_LINK = bytes.fromhex("00005e005302" + "00005e005301")


def datagram(protocol: int, data: bytes, six: bool) -> bytes:
    """A frame with one datagram whose sums another library set."""
    inner = {
        1: lambda: dpkt.icmp.ICMP(type=8, data=dpkt.icmp.ICMP.Echo(id=1, seq=2, data=data)),
        6: lambda: dpkt.tcp.TCP(sport=5000, dport=5001, flags=16, data=data),
        17: lambda: dpkt.udp.UDP(sport=5000, dport=5001, ulen=8 + len(data), data=data),
    }[protocol]()
    if six:
        ends = {"src": bytes(15) + b"\1", "dst": bytes(15) + b"\2"}
        ends = {k: bytes.fromhex("20010db8") + v[4:] for k, v in ends.items()}
        ip = dpkt.ip6.IP6(**ends, nxt=protocol, hlim=64, data=inner, plen=len(inner))
        return _LINK + b"\x86\xdd" + bytes(ip)
    ip = dpkt.ip.IP(src=b"\xc0\0\2\1", dst=b"\xc0\0\2\2", p=protocol, id=0x1234, ttl=64, data=inner)
    ip.len = 20 + len(inner)
    return _LINK + b"\x08\x00" + bytes(ip)


def parts(frame: bytes, cuts: list[int], number: int = 7) -> list[bytes]:
    """The frame's datagram cut at these octets of its data (multiples of 8)."""
    edges = [0, *cuts]
    stops: list[int | None] = [*cuts, None]
    return [bytes.fromhex(fragment(frame, a, b, number)) for a, b in zip(edges, stops, strict=True)]


NAMES = {1: "icmp-checksum", 6: "tcp-checksum", 17: "udp-checksum"}


@st.composite
def cut_up(draw: st.DrawFn) -> tuple[int, bool, list[bytes]]:
    protocol = draw(st.sampled_from((1, 6, 17)))
    six = protocol != 1 and draw(st.booleans())
    length = draw(st.integers(40, 400))
    frame = datagram(protocol, draw(st.binary(min_size=length, max_size=length)), six)
    most = (len(frame) - (54 if six else 34) - 1) // 8
    cuts = sorted(8 * c for c in draw(st.sets(st.integers(3, most), min_size=1, max_size=6)))
    return protocol, six, draw(st.permutations(parts(frame, cuts)))


@settings(max_examples=60, deadline=None)
@given(cut_up(), st.randoms(use_true_random=False))
def test_the_last_to_come_bears_the_sum_of_the_whole(cut, drawn: random.Random):
    protocol, _, frames = cut
    *early, last = judged_in_order(*frames)
    for found in early:
        assert found.outcome(NAMES[protocol]) in (None, "unverifiable")
        assert (found.fate.outcome, found.fate.step) == ("cannot tell", "reassembly")
    assert last.outcome(NAMES[protocol]) == "match"
    assert last.fate.outcome == "delivered"
    assert all(found.above_unusual == [] for found in (*early, last))

    hurt = drawn.randrange(len(frames))
    octets = bytearray(frames[hurt])
    octets[-1] ^= 1 << drawn.randrange(8)
    frames = [*frames[:hurt], bytes(octets), *frames[hurt + 1 :]]
    *early, last = judged_in_order(*frames)
    assert last.outcome(NAMES[protocol]) == "mismatch"
    assert last.above_unusual == [NAMES[protocol]]
    assert (last.fate.step, last.fate.rule) == ("transport-checksum", NAMES[protocol])
    assert all(found.above_unusual == [] for found in early)


def test_the_example_of_the_standard():
    """RFC 791 appendix A: 472 octets with a header of 20, for links of 280: 276 and 216."""
    frame = datagram(17, bytes(range(256)) + bytes(188), six=False)
    assert len(frame) - 14 == 472
    first, second = parts(frame, [256])
    assert [int.from_bytes(f[16:18], "big") for f in (first, second)] == [276, 216]
    assert int.from_bytes(second[20:22], "big") == 32
    _, last = judged_in_order(first, second)
    verdict = last.verdict("udp-checksum")
    assert (verdict.outcome, verdict.field) == ("match", None)
    assert [s.octets for s in verdict.covers] == [(26, 34), (34, 230)]


def test_a_first_part_that_comes_last_bears_its_own_field():
    *_, last = judged_in_order(*reversed(parts(UDP_LONG, [16, 32])))
    verdict = last.verdict("udp-checksum")
    assert verdict.field is not None
    assert verdict.field.octets == (40, 42)
    assert [v.name for v in last.verdicts].count("udp-checksum") == 1


def test_the_host_of_the_whole_is_asked():
    first, second = parts(UDP_LONG, [16])
    _, last = judged_in_order(first, second)
    assert last.fate.assumed == ("mac", "ip", "port")
    past = Past()
    judged_in_order(first, past=past)
    view = View(second, decode_frame(second), past=past.so_far, host=BOARD._replace(port=9))
    findings = judge(view)[1]
    assert fate(view, findings).rule == "host-port-number"


def test_parts_of_two_datagrams_are_not_mixed():
    six = parts(UDP_LONG_IPV6, [24], 7)
    seven = parts(UDP_LONG_IPV6, [24], 8)
    found = judged_in_order(six[0], seven[1], seven[0], six[1])
    assert [f.outcome("udp-checksum") for f in found[2:]] == ["match", "match"]
    assert found[1].outcome("udp-checksum") is None


def open_ends(*frames: bytes) -> list[str]:
    past = Past()
    judged_in_order(*frames, past=past)
    return [d.says for d in past.doubts()]


def test_what_never_becomes_whole_is_said_once():
    first, second = parts(UDP_LONG, [16])
    assert open_ends(first, second) == []
    assert open_ends(first, second, second, first) == []  # printed again
    assert open_ends(UDP_LONG) == []
    (said,) = open_ends(UDP_LONG, first)
    assert "1 datagram of which not all came, the first from frame 2 on" in said
    assert len(open_ends(first)) == 1
    firsts = [parts(UDP_LONG_IPV6, [16], n)[0] for n in range(3 * MOST_OPEN)]
    (said,) = open_ends(*firsts)
    assert f"{3 * MOST_OPEN} datagrams of which not all came, the first from frame 1" in said


def test_a_copy_of_a_part_is_no_overlap():
    first, second = parts(UDP_LONG_IPV6, [24])
    found = judged_in_order(first, first, second)
    assert all(f.above_unusual == [] for f in found)
    assert found[2].outcome("udp-checksum") == "match"


def test_an_overlap_ends_a_datagram_of_ipv6_and_not_one_of_ipv4():
    six = [fragment(UDP_LONG_IPV6, a, b) for a, b in ((0, 24), (16, 40), (40, None), (24, None))]
    found = judged_in_order(*map(bytes.fromhex, six))
    assert found[1].above_unusual == ["ipv6-fragment-overlap"]
    assert found[1].fate.rule == "ipv6-fragment-overlap"
    assert [f.above_unusual for f in found[2:]] == [[], []]
    assert all(f.fate.step == "reassembly" for f in found)

    four = [fragment(UDP_LONG, a, b) for a, b in ((0, 24), (16, 40), (40, None))]
    found = judged_in_order(*map(bytes.fromhex, four))
    assert found[1].above_unusual == ["ipv4-fragment-overlap"]
    assert found[2].outcome("udp-checksum") == "match"


def test_a_number_that_comes_again_much_later_is_a_new_datagram():
    first, second = parts(UDP_LONG, [16])
    other = bytes.fromhex(fragment(over_udp("55" * 48, 5000, 5001), 16))
    past = Past()
    judged_in_order(first, past=past)
    for number in (2, MOST_FRAMES + 100):
        view = View(UDP_LONG, decode_frame(UDP_LONG), past=past.so_far)
        judge(view)
        past.note(number, view)
    view = View(other, decode_frame(other), past=past.so_far)
    verdicts, _ = judge(view)
    assert "udp-checksum" not in {v.name for v in verdicts}
    assert second != other


@pytest.mark.parametrize("flood", ["tiny", "far"])
def test_memory_is_bounded_whatever_comes(flood):
    past = Past()
    for number in range(1, 400):
        base = bytearray(bytes.fromhex(fragment(UDP_LONG_IPV6, 0, 8, number % 150)))
        where = 8 * (number * 7 % 900) if flood == "tiny" else 65520
        base[56:58] = (where | 1).to_bytes(2, "big")
        view = View(bytes(base), decode_frame(bytes(base)), past=past.so_far)
        judge(view)
        past.note(number, view)
    assert past.so_far is past
    kept = past.of(Fragments)
    assert len(kept._open) <= MOST_OPEN
    assert sum(len(d.data) for d in kept._open.values()) <= MOST_OPEN * 65535
