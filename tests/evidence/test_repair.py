"""One damage undone: a frame is healed where its sums prove it, and nothing is claimed elsewhere.

The frames are recordings of real stacks. What is damaged here is damaged by the test's own
arithmetic; ``tests.trials.repair`` measures many more.
"""

from zlib import crc32

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

import framecheck
from framecheck.core.finding import Host
from framecheck.core.sheet import FrameRecord
from framecheck.damage import ORDERS
from tests.trials.repair import SETTLED, examined, frames, outcome, trials

FRAMES = frames()
LONG = next(f for f in FRAMES if f[23] == 17 and len(f) > 300)
SEGMENT = next(f for f in FRAMES if f[23] == 6 and 100 < len(f) < 200)

MIRRORED = next(o for o in ORDERS if o.family == "reversal")


def check(octets: bytes) -> FrameRecord:
    rows = [f"{i:04x}: {octets[i : i + 16].hex(' ')}" for i in range(0, len(octets), 16)]
    text = f"net: received {len(octets)} octets\n" + "\n".join(rows) + "\nnet: end\n"
    (frame,) = framecheck.check(text).frames
    return frame


def each(ranges: tuple[tuple[int, int], ...]) -> set[int]:
    return {i for a, b in ranges for i in range(a, b)}


@pytest.mark.parametrize("order", ORDERS, ids=lambda o: o.name)
def test_frames_are_healed_of_a_reordering(order) -> None:  # type: ignore[no-untyped-def]
    for octets in FRAMES[:40]:
        repair = examined(order.change(octets)).repair
        assert repair is not None
        assert repair.octets == octets
        assert repair.says.startswith(order.says)


def test_sound_frames_are_neither_repaired_nor_doubted() -> None:
    for octets in FRAMES:
        record = examined(octets)
        assert record.repair is None
        assert not record.doubts
        assert record.state == "sound"


def test_the_check_says_what_happened_and_which_octets_it_changed() -> None:
    octets = ORDERS[0].change(LONG)

    frame = check(octets)

    assert (frame.state, frame.broken_by) == ("damaged", "transfer")
    assert frame.repair is not None
    assert frame.repair.octets == LONG
    assert set(frame.repair.proved_by) == {"ipv4-header-checksum", "udp-checksum"}
    assert each(frame.wrong) == {i for i, o in enumerate(octets) if o != LONG[i]}


def test_inserted_octets_are_extra_and_what_follows_was_sent_further_in_front() -> None:
    frame = check(LONG[:34] + b"\x99\x88\x77" + LONG[34:])

    assert frame.repair is not None
    assert frame.repair.octets == LONG
    assert frame.extra == ((34, 37),)
    assert frame.moves == ((37, len(LONG) - 34, 34),)
    assert not frame.wrong
    assert not frame.missing


def test_a_lost_type_is_put_back_and_counted_as_missing() -> None:
    record = examined(SEGMENT[:12] + SEGMENT[14:])

    assert record.repair is not None
    assert record.repair.octets == SEGMENT
    assert record.missing == ((12, 2),)
    assert record.moves == ((12, len(SEGMENT) - 14, 14),)
    assert (record.state, record.broken_by) == ("damaged", "transfer")


def test_lost_address_octets_are_named_and_not_invented() -> None:
    record = examined(SEGMENT[3:])

    assert record.repair is None
    assert record.missing == ((0, 3),)
    assert any("3 octets lost in front of octet 0x0" in d.says for d in record.doubts)


def test_the_host_tells_what_the_lost_address_octets_were() -> None:
    record = examined(SEGMENT[3:], Host(mac=SEGMENT[:6]))

    assert record.repair is not None
    assert record.repair.octets == SEGMENT


def test_a_broadcast_tells_them_too() -> None:
    sent = next(f for f in FRAMES if f[:6] == b"\xff" * 6 and f[30:34] == b"\xff" * 4)

    record = examined(sent[4:])

    assert record.repair is not None
    assert record.repair.octets == sent


def test_lost_ports_are_two_octets_more_than_one_sum_can_tell() -> None:
    record = examined(LONG[:34] + LONG[38:])

    assert record.repair is None
    assert any("4 octets lost in front of octet 0x22" in d.says for d in record.doubts)


def test_one_wrong_word_is_found_where_sum_and_fcs_agree() -> None:
    octets = LONG[:120] + b"\x12\x34" + LONG[122:] + crc32(LONG).to_bytes(4, "little")

    record = examined(octets, fcs_on=True)

    assert record.repair is not None
    assert record.repair.octets == LONG
    assert set(record.repair.proved_by) == {"fcs", "udp-checksum"}
    assert each(record.wrong) <= {120, 121}


def test_a_sum_alone_leaves_many_words_and_says_how_many() -> None:
    octets = bytearray(LONG)
    octets[120] ^= 0x08

    record = examined(bytes(octets))

    assert record.repair is None
    assert not record.wrong
    (doubt,) = record.doubts
    assert "one flipped bit (bit 3 of one of" in doubt.other
    assert "one wrong 16-bit word (one of" in doubt.other


def test_two_sums_that_are_off_alike_convict_what_they_share() -> None:
    """A wrong address word is in the header's sum and in the pseudo-header (RFC 768)."""
    octets = bytearray(SEGMENT)
    octets[29] ^= 0x10

    record = examined(bytes(octets))

    assert each(record.suspect) == set(range(26, 34))


def test_two_sums_that_are_off_otherwise_convict_all_that_they_cover() -> None:
    octets = bytearray(LONG)
    octets[24] ^= 0x10
    octets[120] ^= 0x01

    record = examined(bytes(octets))

    assert {24, 120} <= each(record.suspect)


def test_a_sum_that_holds_inside_clears_its_octets() -> None:
    octets = bytearray(LONG)
    octets[120] ^= 0x08

    record = examined(bytes(octets))

    assert set(range(14, 34)) <= each(record.proven)
    assert not each(record.suspect) & set(range(14, 34))


@pytest.mark.parametrize("kind", SETTLED)
def test_what_the_evidence_can_settle_is_named(kind: str) -> None:
    found = [outcome(sent, damage, record) for sent, damage, record in trials(kind, 12, 7)]

    assert sum(o.right for o in found) >= 0.9 * len(found)
    assert not any(o.wrong for o in found)


@pytest.mark.parametrize("kind", ["random octets", "residue at the end", "two damages"])
def test_what_no_repair_knows_is_not_repaired(kind: str) -> None:
    for sent, damage, record in trials(f"unknown: {kind}", 12, 7):
        assert not outcome(sent, damage, record).wrong


@given(st.binary(max_size=120))
@example(bytes.fromhex("ffffffffffff00005e005307810000640806000108000604000100000100"))
def test_no_octets_raise(octets: bytes) -> None:
    """The example ends in a header whose constants a repair would put back."""
    examined(octets)


@given(
    st.sampled_from(FRAMES[:60]),
    st.lists(st.tuples(st.integers(0, 1500), st.integers(0, 255)), max_size=6),
    st.integers(-8, 8),
)
def test_no_damage_raises_and_every_range_is_inside(
    sent: bytes, changes: list[tuple[int, int]], moved: int
) -> None:
    octets = bytearray(sent)
    for at, value in changes:
        octets[at % len(octets)] = value
    received = bytes(octets[-moved:] if moved < 0 else bytes(moved) + octets)

    record = examined(received)

    length = len(record.octets)
    for a, b in (*record.wrong, *record.extra, *record.proven, *record.suspect):
        assert 0 <= a < b <= length
    for m in record.moves:
        assert 0 <= m.received < m.received + m.length <= length


def test_a_stuck_line_is_named_and_no_octets_are_claimed() -> None:
    octets = bytearray(LONG)
    for i in range(2, len(octets), 4):
        octets[i] |= 0x20

    record = examined(bytes(octets))

    assert record.repair is None
    assert any(
        "bit 5 of every fourth octet, from 0x2 on, stuck at 1" in d.says for d in record.doubts
    )


def test_what_no_sum_covers_is_not_proven_by_a_repair() -> None:
    record = examined(ORDERS[0].change(LONG))

    assert record.repair is not None
    assert not set(range(14)) & each(record.proven)


def test_constants_of_a_standard_are_proven_where_all_of_them_are_right() -> None:
    """RFC 826: hardware type 1, protocol type 0800, lengths 6 and 4."""
    octets = bytearray(60)
    octets[:6] = b"\xff" * 6
    octets[6:14] = bytes.fromhex("00005e005301" + "0806")
    octets[14:42] = bytes.fromhex("000108000604000100005e005301c0000201" + "00" * 6 + "c0000202")

    assert set(range(14, 20)) <= each(examined(bytes(octets)).proven)
    octets[18] ^= 0x01
    assert not set(range(14, 20)) & each(examined(bytes(octets)).proven)


def test_a_group_that_its_address_names_speaks_for_no_repair() -> None:
    """A router solicitation to all routers with one flipped bit in its source (RFC 4861 4.1).

    Every candidate keeps the group, and what holds as the frame stands proves nothing.
    """
    octets = bytes.fromhex(
        "333300000002 00005e005307 86dd 600000000010 3aff fe80000000000000 12005efffe005307"
        "ff020000000000000000000000000002 8500191f00000000 010100005e005307"
    )

    record = examined(octets)

    assert record.repair is None
    assert "icmpv6-checksum" in {v.name for v in record.verdicts if v.outcome == "mismatch"}


def test_a_tag_that_reads_alike_from_both_sides_hides_no_reversal() -> None:
    """8100 is its own reverse, so the tag of a reversed frame still reads as one."""
    tagged = SEGMENT[:12] + bytes.fromhex("81000064") + SEGMENT[12:]

    record = examined(MIRRORED.change(tagged))

    assert record.repair is not None
    assert record.repair.octets == tagged
