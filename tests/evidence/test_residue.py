"""Octets that still hold the fill."""

import pytest

from framecheck.core.problem import Problem
from framecheck.damage import fill
from framecheck.evidence import compare, residue

LETTERS = fill("letters")
FRAME = bytes(range(0x80, 0xE0))


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


def test_three_octets_need_a_failing_sum_and_the_end() -> None:
    assert residue(unwritten(93, 96), LETTERS, 0) == ()
    assert residue(unwritten(93, 96), LETTERS, 0, failing=((34, 96),)) == ((93, 96),)
    assert residue(unwritten(50, 53), LETTERS, 0, failing=((34, 96),)) == ()


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
