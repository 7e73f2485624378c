"""Received against sent: the difference with the fewest wrong octets."""

import difflib

from hypothesis import given
from hypothesis import strategies as st

from framecheck.core.sheet import Missing, Move
from framecheck.evidence import compare

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
