"""Octets that still hold the fill."""

import random
from collections.abc import Callable
from typing import Any

import pytest

from framecheck.core.problem import Problem
from framecheck.damage import Fill, fill
from framecheck.evidence import Buffers, claim, compare, phase, read
from tests.machines.traffic import recorded

LETTERS = fill("letters")
FRAME = bytes(range(0x80, 0xE0))


def residue(octets: bytes, given: Fill, head: int, **known: Any) -> tuple[tuple[int, int], ...]:
    return claim(octets, given, head, **known).sure


def unwritten(start: int, stop: int, head: int = 0) -> bytes:
    return FRAME[:start] + LETTERS.octets(head + start, head + stop) + FRAME[stop:]


def test_fills_by_name_repeat_from_the_first_octet() -> None:
    assert LETTERS.octets(0, 28) == b"ABCDEFGHIJKLMNOPQRSTUVWXYZAB"
    assert fill("counting").octets(254, 258) == bytes((254, 255, 0, 1))
    assert fill("constant:a5").octets(7, 9) == b"\xa5\xa5"
    assert fill("dead").octets(1, 4) == b"\xad\xde\xad"
    assert fill("odd-parity").octets(0, 5) == bytes((1, 2, 4, 7, 8))
    assert all(bin(n).count("1") % 2 for n in fill("odd-parity").pattern)


@pytest.mark.parametrize("bad", ["", "constant:", "constant:a5a5", "no-such", "abc", "a\x1b[2Jb"])
def test_what_is_no_fill_is_said_in_one_line(bad: str) -> None:
    with pytest.raises(Problem) as problem:
        fill(bad)
    assert "\n" not in str(problem.value)
    assert "\x1b" not in str(problem.value)


@pytest.mark.parametrize(("start", "stop"), [(90, 96), (40, 44), (0, 96), (92, 96)])
def test_runs_of_four_and_more_are_residue(start: int, stop: int) -> None:
    assert residue(unwritten(start, stop), LETTERS, 0) == ((start, stop),)


def test_the_phase_counts_from_the_buffer_not_from_the_frame() -> None:
    assert residue(unwritten(90, 96, head=2), LETTERS, 2) == ((90, 96),)
    assert residue(unwritten(90, 96, head=2), LETTERS, 0) == ()


def test_the_fewer_octets_the_more_must_be_wrong_otherwise() -> None:
    assert residue(unwritten(94, 96), LETTERS, 0) == ()
    assert residue(unwritten(94, 96), LETTERS, 0, failing=((34, 96),)) == ((94, 96),)
    text = b"VALVE TWO IS OPEN AND THE NIGHT IS COLD " * 2 + FRAME[80:]
    three = text[:93] + LETTERS.octets(93, 96)
    assert residue(three, LETTERS, 0) == ()
    assert residue(three, LETTERS, 0, failing=((34, 96),)) == ((93, 96),)


def test_three_octets_are_residue_where_something_else_was_sent() -> None:
    assert residue(unwritten(50, 53), LETTERS, 0, truth=FRAME) == ((50, 53),)


def test_octets_that_were_meant_to_be_so_are_not() -> None:
    sent = unwritten(50, 60)
    assert residue(sent, LETTERS, 0, truth=sent) == ()


def test_what_a_matching_sum_covers_did_arrive() -> None:
    assert residue(unwritten(50, 60), LETTERS, 0, proven=((34, 96),)) == ()


def test_zeros_alone_say_nothing() -> None:
    zero = fill("zero")
    frame = FRAME[:60] + bytes(36)
    assert residue(frame, zero, 0, failing=((34, 96),)) == ()
    assert residue(frame, zero, 0, truth=FRAME) == ((60, 96),)


def test_a_broadcast_address_is_not_erased_flash() -> None:
    frame = b"\xff" * 6 + FRAME[6:]
    assert residue(frame, fill("constant:ff"), 0) == ()
    tail = FRAME[:90] + b"\xff" * 6
    assert residue(tail, fill("constant:ff"), 0, failing=((34, 96),)) == ((90, 96),)


def test_padding_that_was_never_written_shows_though_nobody_knows_what_it_was() -> None:
    sent = FRAME[:42]
    received = sent + LETTERS.octets(42, 60)
    difference = compare(received, sent)

    assert not difference
    assert difference.truth[42:] == (None,) * 18
    assert residue(received, LETTERS, 0, truth=difference.truth) == ((42, 60),)


EVEN = [n for n in range(256) if n.bit_count() % 2 == 0]
ODD = fill("odd-parity")


def test_alphabets_apart_give_every_edge_exactly() -> None:
    """Payload of even parity, fill of odd parity, tails of 1 to 31 octets: the sets' sizes and
    the even payload are those of the fill's recommendation (common practice, no source)."""
    random_ = random.Random(3)
    exact = 0
    for _ in range(1000):
        size = random_.randrange(60, 200)
        edge = size - random_.randrange(1, 32)
        written = FRAME[:14] + bytes(random_.choices(EVEN, k=edge - 14))
        octets = written + ODD.octets(edge, size)
        reading = read(octets, ODD.octets(0, size), suspected=((0, size),))
        exact += reading.ranges() == ((edge, size),)
    assert exact >= 999


def test_certainty_of_an_edge_is_how_often_it_is_right() -> None:
    """Random payload: a written octet equals the fill once in 256 times, and hides the edge.

    A tail's edge is then off, by one or more, in about 1/256 of all tails (a closed form).
    """
    random_ = random.Random(4)
    right, said = 0, 0.0
    for _ in range(600):
        size, edge = 120, random_.randrange(60, 110)
        octets = random_.randbytes(edge) + ODD.octets(edge, size)
        begin = read(octets, ODD.octets(0, size), suspected=((0, size),)).edges[-2]
        right += begin.at == edge
        said += begin.certainty
    assert right / 600 > 0.99
    assert abs(right - said) / 600 < 0.02


@pytest.mark.parametrize("name", ["letters", "counting", "odd-parity", "constant:c7", "zero"])
def test_no_recorded_frame_seems_unwritten(name: str) -> None:
    """Not even without a sum that vouches for it. (One echo of the recording is full of a5: a
    fill of a5 is then told from it by the sums alone.)"""
    chosen = fill(name)
    frames = recorded()
    assert not [f for f in frames[::2] if residue(f, chosen, 0)]
    assert not [f for f in frames[::7] if residue(f, chosen, 0, truth=f)]


def test_a_spoilt_octet_does_not_end_a_residue() -> None:
    octets = bytearray(unwritten(60, 96))
    octets[80] ^= 0x10
    assert residue(bytes(octets), LETTERS, 0) == ((60, 96),)


def test_the_frame_before_is_an_old_content_like_a_fill() -> None:
    random_ = random.Random(5)
    old, new = random_.randbytes(90), random_.randbytes(90)
    octets = new[:70] + old[70:]
    assert read(octets, old, truth=new).ranges() == ((70, 90),)


@pytest.mark.parametrize("buffers", [1, 2, 3, 4, 8])
@pytest.mark.parametrize("given", [None, LETTERS])
def test_old_octets_are_those_of_the_frame_so_many_before(buffers: int, given: Fill | None) -> None:
    """Random payload in whole multiples of 16, K buffers in turn, never filled again."""
    random_ = random.Random(buffers)
    start = given.octets(0, 120) if given else bytes(120)
    rack, lengths = [start] * buffers, [0] * 8 * buffers
    seen, told = Buffers(given), 0
    for number in range(1, 8 * buffers + 1):
        turn = number % buffers
        sent = random_.randbytes(random_.randrange(60, 120))
        edge = len(sent) // 16 * 16
        came = sent[:edge] + rack[turn][edge : len(sent)]
        old = seen.look(number, came, (0, len(came)), truth=sent)
        rack[turn] = came + rack[turn][len(came) :]
        lengths[number - 1] = len(came)
        for part in (o for o in old if o.buffers):
            assert (part.holds, part.buffers) == ("frame before", buffers)
            assert part.back is not None
            assert part.back % buffers == 0
            assert part.frame is not None
            assert part.frame == number - part.back
            assert lengths[part.frame - 1] > part.start  # that frame was long enough
            assert part.start >= edge - 1
            assert len(part.likely) == part.stop - part.start
            told += part.begins > 0.9 and part.start == edge
    assert told >= 3 * buffers


def test_frames_that_are_alike_do_not_tell_the_number_of_buffers() -> None:
    """Two contents in turn: 2, 4, ... buffers explain the same; what is old is still told."""
    random_ = random.Random(1)
    contents = [random_.randbytes(100), random_.randbytes(100)]
    seen = Buffers(None)
    for number in range(1, 13):
        came = contents[number % 2][:96] + contents[number % 2][96:]
        sent = came if number < 7 else came[:90] + bytes(b ^ 0x55 for b in came[90:])
        old = seen.look(number, came, (0, 100), truth=sent)
    assert [(o.stop, o.holds, o.buffers) for o in old] == [(100, "frame before", None)]
    assert all(p > 0.99 for p in old[0].likely[-10:])  # in front of them nothing tells old from new


@pytest.mark.parametrize("given", [None, LETTERS, ODD, fill("counting")])
def test_recorded_frames_in_any_order_hold_nothing_old(given: Fill | None) -> None:
    """Known as sent, or not at all: no octet is claimed, however alike the frames are."""
    random_ = random.Random(9)
    frames = list(recorded())
    random_.shuffle(frames)
    for truth in (True, False):
        seen = Buffers(given)
        looks = [
            seen.look(i, f, (0, len(f)), truth=f if truth else ()) for i, f in enumerate(frames)
        ]
        assert not any(looks)
        assert seen.recognised is None


def test_single_octets_that_equal_an_earlier_frame_by_chance_are_no_ring() -> None:
    """Unrelated damage: one of 256 wrong values is the old one, of 16 buffers one in 16 or so."""
    random_ = random.Random(12)
    seen = Buffers(None)
    for number in range(400):
        sent = random_.randbytes(100)
        came = bytearray(sent)
        for at in random_.sample(range(100), 3):
            came[at] ^= random_.randrange(1, 256)
        assert not seen.look(number, bytes(came), (0, 100), truth=sent)


def _mirrored(octets: bytes) -> bytes:
    return bytes(int(f"{o:08b}"[::-1], 2) for o in octets)


def _swapped(octets: bytes) -> bytes:
    return b"".join(octets[i : i + 2][::-1] for i in range(0, len(octets), 2))


@pytest.mark.parametrize("change", [_mirrored, _swapped, lambda o: bytes(x & 0xFB for x in o)])
def test_frames_that_are_all_changed_in_one_way_hold_nothing_old(
    change: Callable[[bytes], bytes],
) -> None:
    """They are wrong alike where they were sent alike: that one equals another is no evidence."""
    for given in (None, ODD):
        seen = Buffers(given)
        for number, sent in enumerate(recorded()[:120], 1):
            came = change(sent)
            assert not seen.look(number, came, (0, len(came)), truth=sent)


def test_a_sequence_that_nobody_named_is_recognised() -> None:
    sent = bytes(random.Random(2).choices(EVEN, k=90))
    seen = Buffers(None)
    old = seen.look(1, sent[:70] + ODD.octets(70, 90), (0, 90), truth=sent)
    assert [(o.span, o.holds) for o in old] == [((70, 90), "fill")]
    assert seen.recognised == ODD


@pytest.mark.parametrize("starts", [3, 77])
@pytest.mark.parametrize("trouble", [True, False])
def test_a_fill_that_starts_elsewhere_is_found_where_its_run_is_long(
    starts: int, trouble: bool
) -> None:
    """A run of n octets of one phase has 8 (n - 2) bits: 40 are needed, 16 with a failing sum."""
    payload = bytes(random.Random(2).choices(EVEN, k=90))
    for size in range(1, 12):
        came = payload[: 90 - size] + ODD.octets(starts + 90 - size, starts + 90)
        failing = ((34, 90),) if trouble else ()
        old = Buffers(ODD).look(1, came, (0, 90), failing=failing)
        enough = size >= (4 if trouble else 7)
        assert [(o.span, o.starts) for o in old] == ([((90 - size, 90), starts)] if enough else [])


def test_a_payload_that_counts_is_not_a_fill_that_counts() -> None:
    """An echo's payload counts; only where another octet was sent is it old."""
    counting, came = fill("counting"), FRAME[:42] + bytes(range(8, 64))
    looked = Buffers(counting).look(1, came, (0, len(came)), failing=((34, len(came)),))
    assert not looked
    sent = FRAME[:42] + bytes(random.Random(4).choices(EVEN, k=56))
    (old,) = Buffers(counting).look(1, came, (0, len(came)), truth=sent)
    assert (old.span, old.starts) == ((42, 98), (8 - 42) % 256)


def test_a_fill_of_unknown_start_is_found_by_its_run() -> None:
    assert phase(FRAME[:50] + LETTERS.octets(60, 75), LETTERS) == ((60 - 50) % 26, 8.0 * 13)
    assert phase(FRAME, LETTERS) is None
    assert phase(b"\xa5" * 90, fill("constant:a5")) is None
