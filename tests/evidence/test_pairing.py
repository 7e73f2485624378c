"""Which sent frame a received one is."""

import random
from itertools import count, islice

import pytest

from framecheck.damage import ORDERS, fill
from framecheck.evidence import Pairing
from tests.effort import effort
from tests.outside import recordings

LETTERS = fill("letters")


def frame(n: int, size: int = 90) -> bytes:
    """A frame that is like its neighbours in its header and its own in what follows."""
    head = b"\0\0\x5e\0\x53\1\0\0\x5e\0\x53\2\x08\0" + bytes(
        (0x45, 0, (size - 14) >> 8, (size - 14) & 255, n >> 8, n & 255)
    )
    return head + bytes((i * 7 + n * 31 + n // 256) & 255 for i in range(size - 20))


def test_equal_frames_pair_in_order_though_some_are_lost() -> None:
    pairing = Pairing(iter([frame(n) for n in range(6)]))

    assert [pairing.of(frame(n)) for n in (0, 2, 3, 5)] == [frame(n) for n in (0, 2, 3, 5)]
    assert pairing.pairs == 4


def test_frames_may_overtake_each_other() -> None:
    pairing = Pairing(iter([frame(n) for n in range(4)]))

    assert [pairing.of(frame(n)) for n in (1, 0, 3, 2)] == [frame(n) for n in (1, 0, 3, 2)]


def test_equal_frames_are_given_in_turn_and_the_last_one_again_when_it_comes_doubled() -> None:
    first, second = frame(1), bytes(bytearray(frame(1)))
    pairing = Pairing(iter([first, second]))

    given = [pairing.of(frame(1)) for _ in range(3)]

    assert [id(g) for g in given] == [id(first), id(second), id(second)]


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


def spoilt(octets: bytes, share: float, random_: random.Random) -> bytes:
    wrong = set(random_.sample(range(len(octets)), int(share * len(octets))))
    return bytes(o ^ random_.randrange(1, 256) if i in wrong else o for i, o in enumerate(octets))


def test_with_half_of_the_octets_wrong_every_frame_finds_its_own() -> None:
    """Some are lost, some come in another order: 40 frames of one connection, much alike."""
    random_ = random.Random(5)
    sent = [frame(n, random_.choice((60, 90, 400))) for n in range(40)]
    turns = [n for n in range(40) if n % 7]
    turns[5:7] = [turns[6], turns[5]]
    pairing = Pairing(iter(sent))

    found = [pairing.of(spoilt(sent[n], 0.5, random_)) for n in turns]

    assert [f is sent[n] for f, n in zip(found, turns, strict=True)].count(False) <= 1


def test_a_damaged_frame_that_comes_doubled_is_the_same_frame_again() -> None:
    sent = [frame(n) for n in range(8)]
    pairing = Pairing(iter(sent))
    broken = spoilt(sent[2], 0.1, random.Random(1))

    assert [pairing.of(o) for o in (sent[1], broken, broken, sent[3])] == [
        sent[1], sent[2], sent[2], sent[3],
    ]  # fmt: skip


@pytest.mark.parametrize("turn", ["halves", "swap2", "bits", "slip"])
def test_a_frame_that_was_turned_over_finds_its_own(turn: str) -> None:
    sent = [frame(n) for n in range(8)]
    number = int.from_bytes(sent[4], "big")
    received = {
        "halves": bytes((o & 15) << 4 | o >> 4 for o in sent[4]),
        "swap2": bytes(sent[4][i ^ 1] for i in range(90)),
        "bits": bytes(int(f"{o:08b}"[::-1], 2) for o in sent[4]),
        "slip": (number >> 3).to_bytes(90, "big"),
    }[turn]

    assert Pairing(iter(sent)).of(received) is sent[4]


def test_a_short_log_from_the_middle_of_a_long_capture_finds_its_frames() -> None:
    sent = [frame(n) for n in range(3000)]
    pairing = Pairing(iter(sent))

    assert [pairing.of(sent[n]) for n in (2000, 2001, 2003)] == [
        sent[n] for n in (2000, 2001, 2003)
    ]


def test_a_million_sent_frames_against_other_traffic_are_bounded() -> None:
    drawn = count()
    pairing = Pairing(frame(next(drawn) & 65535) for _ in range(1_000_000))
    work = effort(lambda: [pairing.of(bytes(range(128, 218))) for _ in range(10)])

    assert next(drawn) <= 10_000
    assert work < 3_000_000


@pytest.mark.parametrize("damage", ["swap2", "halfword", "front lost", "front gained", "end lost"])
def test_each_recorded_frame_finds_its_own_among_its_like(damage: str) -> None:
    """Frames of one exchange are much alike (recorded traffic, ``vectors/traffic``)."""
    sent = [f.ljust(60, b"\0") for f in recordings.frames(recordings.SUMMED)[:60]]
    change = {
        "front lost": lambda octets: octets[2:],
        "front gained": lambda octets: b"\0\0" + octets,
        "end lost": lambda octets: octets[:-4],
        **{order.name: order.change for order in ORDERS},
    }[damage]
    pairing = Pairing(iter(sent))
    found = [pairing.of(change(octets)) for octets in sent]
    assert found == sent


@pytest.mark.parametrize("kind", ["lost in front", "put in behind the addresses", "one in nine"])
def test_short_frames_that_moved_and_are_damaged_find_theirs(kind: str) -> None:
    """No piece of four octets need be left whole where three of ten octets are wrong as well."""
    sent = [bytes.fromhex("00005e00530100005e0053020800") + random.Random(n).randbytes(52)
            for n in range(12)]  # fmt: skip
    pairing, noise = Pairing(iter(sent)), random.Random(5)
    for octets in sent:
        if kind == "lost in front":
            moved = octets[4:]
        elif kind == "one in nine":
            moved = bytes(o for i, o in enumerate(octets) if i % 9 != 7)
        else:
            moved = octets[:12] + b"\x81\x23" + octets[12:]
        wrong = set(noise.sample(range(len(moved)), 3 * len(moved) // 10))
        received = bytes(o ^ 0x5A if i in wrong else o for i, o in enumerate(moved))
        assert pairing.of(received) == octets
