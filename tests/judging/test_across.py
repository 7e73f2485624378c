"""Rules that look at earlier frames: silence on sound logs, exact places, bounded work.

The recordings are those of ``vectors/traffic`` (real kernels and programs). What a frame was before
its damage is known here, so that each finding is held against the octet that was changed.
"""

from __future__ import annotations

import random
from functools import cache
from pathlib import Path

import dpkt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from judged_frames import REFERENCE, Judged, changed, judged_in_order, reference

from framecheck.core.shelf import shelf
from framecheck.judging import STEPS, Past, all_rules
from framecheck.judging._examples import (
    ARP,
    DISCOVER,
    DNS_ANSWER,
    DNS_QUERY,
    ICMP,
    OFFER,
    TCP,
    UDP,
    UDP_LONG,
    edited,
    fragment,
    resummed,
)
from framecheck.judging._memory import Subject
from framecheck.judging._near import slip
from framecheck.judging.past import SUBJECTS

TRAFFIC = Path(__file__).parents[2] / "vectors/traffic"
ACROSS = {r.name: r for r in all_rules() if r.example.before}


@cache
def recorded() -> tuple[bytes, ...]:
    """All recordings, one after the other."""
    found: list[bytes] = []
    for path in sorted(TRAFFIC.glob("*.pcap*")):
        reader = dpkt.pcapng.Reader if path.suffix == ".pcapng" else dpkt.pcap.Reader
        with path.open("rb") as file:
            found += [octets for _, octets in reader(file)]
    return tuple(found)


@pytest.mark.parametrize("order", ["as recorded", "backwards", 1, 2])
def test_recorded_traffic_in_any_order_is_met_with_silence(order):
    frames = list(recorded())
    if order == "backwards":
        frames.reverse()
    elif isinstance(order, int):
        random.Random(order).shuffle(frames)
    assert len(frames) > 600
    said = {f.rule for found in judged_in_order(*frames) for f in found.findings}
    assert not said & set(ACROSS)


def test_recorded_fragments_are_summed():
    """Every datagram becomes whole but one, whose parts were not all recorded."""
    past = Past()
    found = judged_in_order(*recorded(), past=past)
    whole = [v for f in found for v in f.verdicts if "all fragments taken together" in v.says]
    assert len([v for v in whole if v.name.endswith("checksum")]) >= 14
    assert {v.outcome for v in whole} == {"match"}
    (doubt,) = past.doubts()
    assert doubt.taken.startswith("1 datagram ")


def test_recorded_traffic_printed_twice_is_told_frame_by_frame():
    """Only frames that a host sends once: those for one host that have a number of IPv4."""
    once = [f for f in dict.fromkeys(recorded()) if not f[0] & 1][:60]
    twice = [f for frame in once for f in (frame, frame)]
    for first, second in zip(*[iter(judged_in_order(*twice))] * 2, strict=True):
        assert "ethernet-frame-repeated" not in {f.rule for f in first.findings}
        assert set(second.above_unusual) == set()
    told = [f for f in judged_in_order(*twice) if f.spans("ethernet-frame-repeated")]
    assert len(told) > 20


@pytest.mark.parametrize(
    "octets", [ARP, DISCOVER, edited(UDP, (18, "0000"))], ids=["arp", "to all", "without a number"]
)
def test_what_protocols_repeat_is_not_told(octets):
    assert not judged_in_order(octets, octets)[1].spans("ethernet-frame-repeated")


def test_the_first_frame_loads_nothing_and_knows_nothing():
    past = Past()
    assert past.so_far is None
    judged_in_order(UDP, past=past)
    assert past.doubts() == ()
    assert past.so_far is past


def test_the_same_frames_leave_the_same_past():
    frames = [
        bytes.fromhex(x) for r in ACROSS.values() for x in (*r.example.before, r.example.octets)
    ]
    assert judged_in_order(*frames) == judged_in_order(*frames)


SLIPS = {
    "c0000203": ("one bit", 3, 4),
    "c0000288": ("one octet", 3, 4),
    "c0000102": ("two octets exchanged", 2, 4),
    "00c00102": ("the octets of each pair exchanged", 0, 4),
    "c0000201": None,
    "c6336401": None,
    "c00002": None,
}


@pytest.mark.parametrize("digits", SLIPS)
def test_a_slip_is_what_one_damage_makes(digits):
    usual = bytes.fromhex("c0000201")
    assert slip(bytes.fromhex(digits), usual) == SLIPS[digits]


def reply(request: bytes) -> bytes:
    """The answer of a host that is right."""
    swapped = request[6:12] + request[:6] + request[12:26] + request[30:34] + request[26:30]
    return resummed(swapped + b"\0" + request[35:])


def last(*frames: bytes) -> Judged:
    return judged_in_order(*frames)[-1]


def test_an_echo_comes_back_as_it_was_sent():
    right = reply(ICMP)
    assert last(ICMP, right).above_unusual == []
    wrong = resummed(changed(changed(right, 50, "00"), 60, "0000"))
    found = last(ICMP, wrong)
    assert found.above_unusual == ["icmp-echo-data"]
    assert found.spans("icmp-echo-data") == [((50, 51), (60, 62))]
    assert found.fate.outcome == "delivered"
    # Another request, a request whose own sum fails, and none at all: nothing is known.
    assert last(changed(ICMP, 41, "02"), wrong).above_unusual == []
    assert last(changed(ICMP, 60, "ff"), wrong).above_unusual == []
    assert last(UDP, wrong).above_unusual == []
    short = edited(right, (16, "0038"))[:70]
    assert last(ICMP, resummed(short)).spans("icmp-echo-data") == [((34, 42),)]


def test_an_answer_repeats_its_question():
    answer = edited(
        DNS_ANSWER, (0, DNS_ANSWER[6:12].hex() + DNS_ANSWER[:6].hex()), (26, "c0000202c0000201")
    )
    assert last(DNS_QUERY, answer).above_unusual == []
    shouted = edited(answer, (55, "46524f5354"))
    assert last(DNS_QUERY, shouted).above_unusual == []
    assert last(DNS_QUERY, edited(answer, (42, "9999"))).above_unusual == []
    assert last(DNS_QUERY, edited(answer, (43, "35"))).above_unusual == ["dns-answer-identifier"]
    again = edited(DNS_QUERY, (43, "35"))
    assert last(DNS_QUERY, again, edited(answer, (43, "35"))).above_unusual == []


def test_padding_is_named_after_the_frame_that_left_it():
    stale = edited(UDP, (47, ICMP[47:60].hex()))
    found = last(UDP, ICMP, TCP, stale)
    (said,) = (f for f in found.findings if f.rule == "padding-repeats-frame")
    assert "frame 2 at the same place" in said.says
    assert [s.octets for s in said.spans] == [(47, 60)]
    moved = edited(UDP, (47, ICMP[46:59].hex()))
    assert "padding-repeats-frame" not in last(ICMP, moved).above_unusual


PROVEN = {
    "another address, its header's sum right": edited(TCP, (29, "03")),
    "another number, its header's sum right": edited(UDP, (18, "5239")),
    "another transaction, its sum right": edited(OFFER, (47, "07")),
}


@pytest.mark.parametrize("what", PROVEN)
def test_what_a_sum_vouches_for_is_as_it_was_sent(what):
    counted = [edited(UDP, (18, f"12{n:02x}")) for n in range(0x30, 0x39)]
    found = last(*counted, ICMP, DISCOVER, PROVEN[what])
    assert found.above_unusual == []


def test_a_router_is_no_single_host():
    """Many addresses come from one hardware address: another one is nothing new."""
    far = [edited(UDP, (26, f"c63364{n:02x}"), (18, f"{n:04x}")) for n in range(1, 9)]
    hurt = changed(far[0], 29, "03")
    assert last(*far, *far, hurt).above_unusual == ["ipv4-header-checksum", "udp-checksum"]


def test_a_damaged_frame_teaches_nothing():
    hurt = changed(UDP, 29, "03")
    found = last(hurt, hurt, hurt, UDP)
    assert found.above_unusual == []


@st.composite
def log(draw: st.DrawFn) -> list[bytes]:
    """Frames of examples in some order, some of them damaged."""
    pool = [
        bytes.fromhex(x) for r in ACROSS.values() for x in (*r.example.before, r.example.octets)
    ]
    pool += [reference(n) for n in REFERENCE]
    pool += [bytes.fromhex(fragment(UDP_LONG, a, b)) for a, b in ((0, 16), (8, 32), (24, None))]
    frames = []
    for _ in range(draw(st.integers(2, 8))):
        octets = bytearray(draw(st.sampled_from(pool)))
        for _ in range(draw(st.integers(0, 2))):
            at = draw(st.integers(0, len(octets)))
            octets[at : at + draw(st.integers(0, 3))] = draw(st.binary(max_size=3))
        frames.append(bytes(octets))
    return frames


def test_a_frame_may_end_at_any_octet():
    """Also in the middle of the addresses by which hosts are known."""
    end = 14 + int.from_bytes(UDP[16:18], "big")
    for stop in range(end + 1):
        delivered = last(UDP, UDP, UDP[:stop]).fate.outcome == "delivered"
        assert delivered == (stop == end)


@settings(max_examples=60, deadline=None)
@given(log())
def test_nothing_raises_and_spans_stay_inside(frames):
    past = Past()
    for octets, found in zip(frames, judged_in_order(*frames, past=past), strict=True):
        spans = [s for f in found.findings for s in f.spans]
        assert all(f.spans for f in found.findings)
        spans += [s for v in found.verdicts for s in (*v.covers, *v.blamed)]
        spans += [v.field for v in found.verdicts if v.field is not None]
        assert all(0 <= s.start < s.stop <= len(octets) * 8 for s in spans)
        failed = {v.name for v in found.verdicts if v.outcome == "mismatch"}
        assert failed <= {f.rule for f in found.findings}
        assert found.fate.step is None or found.fate.step in STEPS
    assert len(past.doubts()) <= 1


def test_each_subject_says_what_it_keeps():
    subjects = shelf(SUBJECTS, Subject)
    assert len(subjects) >= 7
    assert all(any(c.isdigit() for c in s.what) for s in subjects)
    assert len({type(s.start()) for s in subjects}) == len(subjects)


def kept(value: object) -> int:
    """How many things a keeper holds, those inside others included."""
    if isinstance(value, dict):
        return len(value) + sum(kept(v) for v in value.values())
    if isinstance(value, list | tuple | set | frozenset):
        return len(value) + sum(kept(v) for v in value)
    names = getattr(type(value), "__slots__", None) or getattr(value, "__dict__", ())
    return sum(kept(getattr(value, n)) for n in names) if names else 0


def test_memory_does_not_grow_with_the_log():
    """Frames that are all different, each of a new host: what is kept levels off."""
    counts = []
    past = Past()
    drawn = random.Random(5)
    for _ in range(3):
        frames = []
        for _ in range(400):
            base = drawn.choice((UDP, ICMP, TCP, DNS_QUERY, DISCOVER))
            host = drawn.randbytes(3).hex()
            address = "00000000" if base is DISCOVER else f"c6{host}"
            frames.append(edited(base, (7, host), (18, drawn.randbytes(2).hex()), (26, address)))
        judged_in_order(*frames, past=past)
        assert past.so_far is past
        counts.append(sum(kept(keeper) for keeper in past._kept.values()))
    assert counts[2] <= counts[1] * 1.1
