"""Which sent frame a received one is."""

from itertools import count, islice

from framecheck.damage import fill
from framecheck.evidence import Pairing

LETTERS = fill("letters")


def frame(n: int, size: int = 90) -> bytes:
    """A frame that is like its neighbours in its header and its own in what follows."""
    head = b"\0\0\x5e\0\x53\1\0\0\x5e\0\x53\2\x08\0" + bytes(
        (0x45, 0, 0, size - 14, n >> 8, n & 255)
    )
    return head + bytes((i * 7 + n * 31) & 255 for i in range(size - 20))


def test_equal_frames_pair_in_order_though_some_are_lost() -> None:
    pairing = Pairing(iter([frame(n) for n in range(6)]))

    assert [pairing.of(frame(n)) for n in (0, 2, 3, 5)] == [frame(n) for n in (0, 2, 3, 5)]
    assert pairing.pairs == 4


def test_frames_may_overtake_each_other() -> None:
    pairing = Pairing(iter([frame(n) for n in range(4)]))

    assert [pairing.of(frame(n)) for n in (1, 0, 3, 2)] == [frame(n) for n in (1, 0, 3, 2)]


def test_each_sent_frame_is_given_once() -> None:
    pairing = Pairing(iter([frame(1), frame(1)]))

    assert [pairing.of(frame(1)) for _ in range(3)] == [frame(1), frame(1), None]


def test_a_frame_with_its_second_half_unwritten_finds_its_own() -> None:
    sent = [frame(n) for n in range(8)]
    received = sent[5][:40] + LETTERS.octets(40, 90)

    assert Pairing(iter(sent), LETTERS).of(received) == sent[5]


def test_a_shifted_frame_finds_its_own() -> None:
    sent = [frame(n) for n in range(8)]

    assert Pairing(iter(sent)).of(b"\0\0" + sent[3][:-2]) == sent[3]


def test_a_frame_whose_proven_octets_differ_is_another() -> None:
    sent = frame(1)
    received = sent[:60] + b"\0" + sent[61:]

    assert Pairing(iter([sent])).of(received) == sent
    assert Pairing(iter([sent])).of(received, proven=((50, 90),)) is None


def test_unlike_traffic_gives_no_pair() -> None:
    assert Pairing(iter([frame(1)])).of(bytes(range(128, 218))) is None


def test_a_capture_without_end_is_read_only_as_far_as_needed() -> None:
    drawn = count()
    pairing = Pairing(frame(next(drawn)) for _ in iter(int, 1))

    assert pairing.of(frame(3)) == frame(3)
    assert next(drawn) < 1000
    assert list(islice(drawn, 1))
