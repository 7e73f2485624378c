"""Received against sent: the difference with the fewest wrong octets."""

import difflib
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from framecheck.core.sheet import Missing, Move
from framecheck.damage import fill
from framecheck.evidence import compare
from framecheck.evidence._alignment import align
from framecheck.evidence._distance import path
from tests.effort import effort

SENT = bytes(range(60, 160))


def test_equal_frames_differ_nowhere() -> None:
    assert not compare(SENT, SENT)


def test_padding_that_the_wire_added_is_no_difference() -> None:
    assert not compare(SENT[:42] + bytes(18), SENT[:42])


def test_wrong_octets_are_named_where_they_stand() -> None:
    received = SENT[:10] + b"\0\0" + SENT[12:]

    assert compare(received, SENT)[:4] == (((10, 12),), (), (), ())


def test_octets_put_in_are_extra_and_what_follows_moved() -> None:
    received = SENT[:50] + b"\0\0" + SENT[50:-2]

    found = compare(received, SENT)

    assert found.wrong == ()
    assert found.extra == ((50, 52),)
    assert found.missing == (Missing(100, 2),)
    assert found.moves == (Move(52, 48, 50),)


def test_octets_lost_in_the_middle_are_missing_there() -> None:
    found = compare(SENT[:50] + SENT[53:], SENT)

    assert (found.wrong, found.extra) == ((), ())
    assert found.missing == (Missing(50, 3),)
    assert found.moves == (Move(50, 47, 53),)


def test_a_shorter_frame_lacks_its_end_and_a_longer_one_has_too_much() -> None:
    assert compare(SENT[:-6], SENT).missing == (Missing(94, 6),)
    assert compare(SENT + b"abcd", SENT).extra == ((100, 104),)


@given(st.binary(max_size=120), st.binary(max_size=120))
def test_every_received_octet_is_right_wrong_or_extra(received: bytes, sent: bytes) -> None:
    found = compare(received, sent)

    assert len(found.truth) == len(received)
    wrong = {i for a, b in found.wrong for i in range(a, b)}
    extra = {i for a, b in found.extra for i in range(a, b)}
    assert not wrong & extra
    for i in range(len(received)):
        truth = found.truth[i]
        if i in wrong:
            assert truth not in (None, received[i])
        elif i in extra:
            assert truth is None
        else:  # right, or padding of which nobody knows what it was
            assert truth == received[i] or (truth is None and len(sent) <= i < 60)


@given(
    st.binary(
        min_size=70,
        max_size=200,
    ),
    st.integers(0, 60),
    st.integers(1, 8),
)
def test_one_loss_costs_no_more_than_the_edit_distance_allows(sent: bytes, at: int, k: int) -> None:
    """Against difflib of the standard library: what it can match, the comparison does not lose."""
    received = sent[:at] + sent[at + k :]

    found = compare(received, sent)

    matched = sum(
        m.size
        for m in difflib.SequenceMatcher(None, sent, received, autojunk=False).get_matching_blocks()
    )
    right = sum(t == r for t, r in zip(found.truth, received, strict=True))
    assert right >= min(matched, len(received)) - 4 - k


def distance(a: bytes, b: bytes) -> int:
    """Insertions, losses and exchanges by the textbook's table (Wagner and Fischer, 1974)."""
    above = list(range(len(b) + 1))
    for i, x in enumerate(a, 1):
        row = [i]
        for j, y in enumerate(b, 1):
            row.append(min(above[j] + 1, row[-1] + 1, above[j - 1] + (x != y)))
        above = row
    return above[-1]


@given(st.binary(max_size=24), st.binary(max_size=24), st.integers(1, 255))
def test_the_path_by_bit_vectors_is_a_shortest_edit(a: bytes, b: bytes, mask: int) -> None:
    a, b = bytes(o & mask for o in a), bytes(o & mask for o in b)
    i = j = edits = 0
    for at, of, count in [*path(a, b), (len(a), len(b), 0)]:
        edits += at - i + of - j + sum(a[at + k] != b[of + k] for k in range(count))
        i, j = at + count, of + count

    assert edits == distance(a, b)


@given(st.randoms(use_true_random=False), st.integers(2, 40), st.integers(2, 40))
def test_small_cases_match_as_much_as_difflib(random_, first: int, second: int) -> None:
    """Two losses in contents without repeats: the blocks of the standard library's matcher."""
    sent = bytes(random_.sample(range(256), 130))
    received = sent[:40] + sent[40 + first : 80 + first // 2] + sent[82 + first // 2 :]
    matcher = difflib.SequenceMatcher(None, sent, received, autojunk=False)
    theirs = [(m.b, m.a, m.size) for m in matcher.get_matching_blocks() if m.size]

    assert [tuple(b) for b in align(received, sent)] == theirs


COUNTS = bytes(i & 255 for i in range(1400))
HEADER = bytes.fromhex("00005e00530100005e00530288b5") + bytes(range(100, 86, -1))


def test_a_large_loss_in_front_is_one_move() -> None:
    sent = HEADER + COUNTS
    found = compare(sent[185 + 256 :], sent)

    assert (found.wrong, found.extra, found.missing) == ((), (), (Missing(0, 441),))


@pytest.mark.parametrize("change", ["swapped", "stuck", "halves"])
def test_a_payload_that_counts_is_wrong_in_place_not_shifted(change: str) -> None:
    """Each of these makes a counting payload look like itself moved on."""
    sent = HEADER + COUNTS
    if change == "stuck":
        received = bytes(o & 0x7F for o in sent)
    else:
        step = 1 if change == "swapped" else 2
        received = bytes(sent[i ^ step] for i in range(len(sent)))
    found = compare(received, sent)

    assert (found.extra, found.missing, found.moves) == ((), (), ())
    assert found.truth == tuple(sent)


@pytest.mark.parametrize("every", [2, 8, 17])
@pytest.mark.parametrize("kind", ["lost", "doubled"])
def test_one_octet_in_a_few_lost_or_doubled_leaves_none_wrong(kind: str, every: int) -> None:
    sent = HEADER + random.Random(every).randbytes(400)
    keep = [[o] * (1 if i % every != every - 1 else 0 if kind == "lost" else 2)
            for i, o in enumerate(sent)]  # fmt: skip
    received = bytes(o for octets in keep for o in octets)
    found = compare(received, sent)

    assert found.wrong == ()
    assert len(received) - len(sent) == sum(b - a for a, b in found.extra) - sum(
        m.length for m in found.missing
    )


def test_a_known_fill_is_no_octet_of_a_payload_that_holds_the_same_run() -> None:
    """The tail holds letters, and so does the sent payload, two octets further on."""
    letters = fill("letters").octets(0, 200)
    sent = HEADER + bytes(58) + letters[100:150]
    received = sent[:70] + letters[70:136]
    found = compare(received, sent, letters)

    assert not found.moves
    assert found.truth == tuple(sent)


def test_a_jumbo_with_every_second_octet_lost_is_bounded() -> None:
    sent = random.Random(1).randbytes(9000)
    assert effort(lambda: compare(sent[::2], sent)) < 600_000


@pytest.mark.parametrize("start", [200, 897, 1300])
def test_a_frame_whose_end_was_written_over_its_front_is_wrong_in_place(start: int) -> None:
    """Its octets stand elsewhere in the frame too, and its payload counts."""
    sent = HEADER + COUNTS
    memory = bytearray(fill("odd-parity").octets(0, len(sent)))
    for i, octet in enumerate(sent):
        memory[i % start] = octet
    found = compare(bytes(memory), sent)

    assert (found.extra, found.missing, found.moves) == ((), (), ())
    assert found.truth == tuple(sent)


def test_a_word_that_came_twice_is_extra_though_what_stands_before_it_is_wrong() -> None:
    sent = HEADER + bytes(4) + random.Random(2).randbytes(60)
    received = sent[:6] + b"\x99" + sent[7:30] + sent[28:]
    found = compare(received, sent)

    assert found.wrong == ((6, 7),)
    assert found.extra in (((28, 30),), ((30, 32),))


def test_octets_behind_the_frame_are_no_doubled_zeros_of_it() -> None:
    sent = HEADER + random.Random(3).randbytes(20) + bytes(40)
    found = compare(sent + b"\x80\3\x11\x22" + bytes(3) + b"\x64", sent)

    assert found.extra == ((len(sent), len(sent) + 8),)
    assert not found.wrong
