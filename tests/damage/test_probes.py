"""Probes: what their octets promise, and what is told from damaged ones."""

from __future__ import annotations

import random
from itertools import pairwise
from pathlib import Path

import dpkt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from framecheck.core.problem import Problem
from framecheck.damage.fills import fill
from framecheck.damage.probes import (
    BOARD,
    KINDS,
    NUMBERS,
    SENDER,
    Addresses,
    content,
    frame,
    tell,
    told,
    told_all,
)

TRAFFIC = Path(__file__).parents[2] / "vectors/traffic"
NIBBLES = bytes((n & 15) << 4 | n >> 4 for n in range(256))
REVERSED = bytes(int(f"{n:08b}"[::-1], 2) for n in range(256))
ORDERS = ((1, 0), (3, 2, 1, 0), (7, 6, 5, 4, 3, 2, 1, 0), (2, 3, 0, 1))
ELSEWHERE = Addresses(bytes.fromhex("02005e005399"), bytes((198, 51, 100, 9)))
FILL = fill("odd-parity").octets(0, 2048)

numbers = st.integers(0, NUMBERS - 1)
lengths = st.integers(60, 1514)
kinds = st.sampled_from(KINDS)


def ordered(octets: bytes, order: tuple[int, ...]) -> bytes:
    """Each whole word of ``octets`` in that order, written a second time for the tests."""
    words = [octets[i : i + len(order)] for i in range(0, len(octets), len(order))]
    return b"".join(bytes(w[k] for k in order) if len(w) == len(order) else w for w in words)


def pairs(octets: bytes) -> list[tuple[int, int]]:
    return list(pairwise(octets))


@settings(max_examples=30, deadline=None)
@given(numbers, lengths, kinds, st.booleans())
def test_a_pair_of_neighbours_names_its_offset(number, length, kind, default):
    octets = content(number, length, 14, kind, default)
    here = pairs(octets)
    assert len(set(here)) == len(here) == length - 15
    for change in (
        lambda o: o[::-1],
        lambda o: o.translate(NIBBLES),
        lambda o: o.translate(REVERSED),
    ):
        assert set(here).isdisjoint(pairs(change(octets)))


@settings(max_examples=20, deadline=None)
@given(numbers, kinds, st.sampled_from(ORDERS))
def test_exchanged_words_show_no_pair_at_two_places(number, kind, order):
    octets = content(number, 1514, 16, kind)
    changed = pairs(ordered(octets, order))
    assert len(set(changed)) == len(changed)
    true = {pair: at for at, pair in enumerate(pairs(octets))}
    offsets = ordered(bytes(i & 255 for i in range(len(octets))), order)
    for at, pair in enumerate(changed):
        # Halves of words stay as they are when halves are exchanged: they show their true place.
        assert pair not in true or true[pair] & 255 == offsets[at]


@given(numbers, lengths, kinds)
def test_the_octets_have_even_parity_and_the_recommended_fill_has_odd(number, length, kind):
    assert all(octet.bit_count() % 2 == 0 for octet in content(number, length, 14, kind))
    assert all(octet.bit_count() % 2 for octet in FILL)


@given(numbers, numbers, kinds, st.integers(1, 92))
def test_the_number_returns_in_each_sixteen_octets(one, other, kind, block):
    first, second = (content(n, 1514, 14, kind)[block * 16 - 14 :][:16] for n in (one, other))
    assert (first == second) == (one == other)


@settings(deadline=None)
@given(numbers, lengths, st.sampled_from(("udp", "echo")))
def test_the_sums_are_right(number, length, kind):
    # dpkt computes the sums of what it writes itself: an opinion from outside.
    octets = frame(number, length, kind)
    ethernet = dpkt.ethernet.Ethernet(octets)
    ethernet.data.sum = ethernet.data.data.sum = 0
    assert bytes(ethernet) == octets
    assert (len(octets), ethernet.data.id) == (length, number)


def test_the_headers_are_those_of_their_standards():
    ethernet = dpkt.ethernet.Ethernet(frame(5, 60, "ethernet"))
    assert (ethernet.type, ethernet.dst, ethernet.src) == (0x88B5, BOARD.mac, SENDER.mac)
    arp = dpkt.ethernet.Ethernet(frame(5, 60, "arp", ELSEWHERE)).data
    assert (arp.op, arp.tpa, arp.spa) == (dpkt.arp.ARP_OP_REQUEST, ELSEWHERE.ip, SENDER.ip)
    udp = dpkt.ethernet.Ethernet(frame(5, 60, "udp", ELSEWHERE)).data
    assert (udp.dst, udp.data.dport) == (ELSEWHERE.ip, 9)
    echo = dpkt.ethernet.Ethernet(frame(5, 60, "echo")).data.data
    assert (echo.type, echo.data.seq) == (dpkt.icmp.ICMP_ECHO, 5)


@pytest.mark.parametrize("length", [0, 59, 1515, -1])
def test_a_length_that_no_probe_has_is_refused(length):
    with pytest.raises(Problem, match="60 to 1514"):
        frame(0, length)


@settings(max_examples=40, deadline=None)
@given(numbers, lengths, kinds, st.sampled_from((BOARD, ELSEWHERE)))
def test_a_sound_probe_is_told(number, length, kind, to):
    sent = frame(number, length, kind, to)
    found = tell(sent)
    assert found is not None
    assert found.frame == sent
    assert (found.number, found.length, found.kind) == (number, length, kind)


def slipped(octets: bytes, bits: int, order: str) -> bytes:
    whole = int.from_bytes(octets, order)
    return (whole << bits & (1 << 8 * len(octets)) - 1).to_bytes(len(octets), order)


DAMAGES = {
    "tail unwritten": lambda o, before: o[:-23] + FILL[len(o) - 23 : len(o)],
    "head of the frame before": lambda o, before: before[:18] + o[18:],
    "tail of the frame before": lambda o, before: o[:96] + before[96 : len(o)],
    "head unwritten": lambda o, before: FILL[:18] + o[18:],
    "every second octet unwritten": lambda o, before: bytes(
        f if i % 2 else a for i, (a, f) in enumerate(zip(o, FILL, strict=False))
    ),
    "the other second octet": lambda o, before: bytes(
        a if i % 2 else f for i, (a, f) in enumerate(zip(o, FILL, strict=False))
    ),
    "lines of 32 unwritten": lambda o, before: bytes(
        FILL[i] if i // 32 % 3 == 1 else a for i, a in enumerate(o)
    ),
    "words of 2 turned": lambda o, before: ordered(o, ORDERS[0]),
    "words of 4 turned": lambda o, before: ordered(o, ORDERS[1]),
    "words of 8 turned": lambda o, before: ordered(o, ORDERS[2]),
    "halves exchanged": lambda o, before: ordered(o, ORDERS[3]),
    "nibbles exchanged": lambda o, before: o.translate(NIBBLES),
    "bits reversed": lambda o, before: o.translate(REVERSED),
    "3 octets inserted": lambda o, before: o[:50] + b"\x11\x22\x33" + o[50:],
    "6 octets lost": lambda o, before: o[:70] + o[76:],
    "4 octets behind": lambda o, before: o + b"\x12\x34\x56\x78",
    "4 octets cut": lambda o, before: o[:-4],
    "cut at 200": lambda o, before: o[:200],
    "slip by 3 bits": lambda o, before: slipped(o, 3, "big"),
    "slip by 5 bits, least significant first": lambda o, before: slipped(o, 5, "little"),
    "bit 6 stuck in lane 1 of 4": lambda o, before: bytes(
        a | 0x40 if i % 4 == 1 else a for i, a in enumerate(o)
    ),
    "bit 7 stuck at 0": lambda o, before: bytes(a & 0x7F for a in o),
    "bit 2 stuck at 1": lambda o, before: bytes(a | 4 for a in o),
    "every fourth octet lost": lambda o, before: bytes(a for i, a in enumerate(o) if i % 4 != 2),
    "bits 1 and 4 exchanged": lambda o, before: bytes(
        a & ~0x12 | (a >> 3 & 2) | (a << 3 & 16) for a in o
    ),
    "every seventh octet lost": lambda o, before: bytes(a for i, a in enumerate(o) if i % 7 != 3),
    "words of 2 twice": lambda o, before: b"".join(o[i : i + 2] * 2 for i in range(0, len(o), 2)),
    "octets twice": lambda o, before: bytes(a for a in o for _ in range(2)),
    "address line 3 ignored": lambda o, before: bytes(o[i & ~8] for i in range(len(o))),
    "restart at 0 behind 180": lambda o, before: o[180:] + o[len(o) - 180 : 180],
}


@pytest.mark.parametrize("damage", DAMAGES)
@pytest.mark.parametrize("kind", KINDS)
def test_a_damaged_probe_is_told(damage, kind):
    sent, before = frame(41, 290, kind), frame(40, 798, kind, ELSEWHERE)
    received = DAMAGES[damage](sent, before)
    assert received != sent
    assert told(received) == sent


def test_two_frames_in_one_name_the_newer_and_mention_the_other():
    received = frame(3, 400)[:200] + frame(2, 400)[200:]
    found = tell(received)
    assert found is not None
    assert (found.number, found.others) == (3, (2,))


def test_random_octets_at_every_third_place_do_not_hide_it():
    rng = random.Random(1)
    for number in range(12):
        sent = frame(number, 300 + number, KINDS[number % 4])
        noisy = bytes(rng.randrange(256) if rng.random() < 0.3 else octet for octet in sent)
        assert told(noisy) == sent


def test_a_lost_address_is_taken_from_the_other_frames_of_the_log():
    sent = [frame(n, 200, "udp", ELSEWHERE) for n in range(5)]
    received = [FILL[:40] + sent[0][40:], *sent[1:]]
    assert told(received[0]) is None
    assert told_all(received) == sent
    assert told(received[0], ELSEWHERE) == sent[0]


@settings(deadline=None, max_examples=60)
@given(st.binary(max_size=400))
def test_other_octets_are_no_probe_and_nothing_raises(octets):
    assert told(octets) is None


def recorded() -> list[bytes]:
    """Frames of recorded traffic: vectors/traffic says where they come from."""
    found = []
    for path in sorted(TRAFFIC.glob("*.pcap*")):
        with path.open("rb") as file:
            found += [octets for _, octets in dpkt.pcap.UniversalReader(file)]
    return found


def test_traffic_and_fills_are_no_probe():
    frames = sorted(set(recorded()))[::4]
    assert len(frames) > 100
    assert [f for f in frames if told(f) is not None] == []
    assert told(FILL[:1514]) is None
    assert told(bytes(1514)) is None
    assert told(bytes(range(256)) * 5) is None
