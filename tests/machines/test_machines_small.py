"""The machines themselves: that they are what they are called, and that the judge can say no."""

from __future__ import annotations

import random

import pytest

from tests.machines import edges, tool
from tests.machines.board import Law, Setting, run, wrong
from tests.machines.cells import LEFT, values
from tests.machines.kinds import KINDS, built
from tests.machines.kinds.strangers import KINDS as STRANGERS
from tests.machines.table import judged
from tests.machines.traffic import SWEEP, bring_up, ordinary, probe, sweep
from tests.machines.trial import FAMILIES, STRANGER_NAMES, parts, right, trial

GRANULE = Law("granule", {"n": 24, "lead": 0, "trail": 0})


def answer(family: str, rivals: tuple[dict, ...] = (), **parameters: object) -> dict:
    """A law as the sheet says it, with a margin that leaves no doubt."""
    return {
        "family": family,
        "parameters": parameters,
        "then": None,
        "margin": 40.0,
        "certain": True,
        "rivals": list(rivals),
        "next": {"length": 86},
    }


@pytest.mark.parametrize(
    ("size", "trail", "lead", "edge"),
    [
        (66, 4, 0, 64),
        (66, 0, 4, 60),
        (66, 0, 0, 64),
        (95, 0, 0, 64),
        (96, 0, 0, 96),
        (60, 4, 0, 64),
    ],
)
def test_a_word_fifo_leaves_the_part_word_unwritten(size, trail, lead, edge):
    """Edges worked out by hand for words of 32 octets."""
    machine = KINDS["granule"](32, lead, trail)
    (dump,) = run(machine, [probe(size, random.Random(1))], Setting(), random.Random(1))
    assert dump.unwritten == list(range(edge, size))


@pytest.mark.parametrize("family", [f for f in FAMILIES if f != "chain"])
def test_every_family_has_a_machine_whose_own_description_builds_it_again(family):
    given = trial(family, 0)
    again = run(built(given.law), given.sent, given.setting, random.Random(0))
    assert len(again) == len(given.printed)
    assert built(given.law).law() == given.law


def test_every_machine_shows():
    """A machine that never does anything would make its line of the table worthless."""
    lengths = "61 95 255 511 1018 1514"
    for family in (*FAMILIES[1:], *STRANGER_NAMES):
        assert any(trial(family, n, lengths).visible for n in range(4)), family
    assert not trial("sound", 0).visible
    assert len(STRANGERS) >= 10


def test_where_octets_are_moved_the_cells_say_from_where():
    sent = [probe(80, random.Random(1))]
    (dump,) = run(KINDS["delete"](3, 10), sent, Setting(), random.Random(1))
    assert [c.offset for c in dump.cells] == [*range(10), *range(13, 80)]
    assert not wrong(dump, sent, by_origin=True)
    (dump,) = run(KINDS["swap"](2, "keep"), sent, Setting(), random.Random(1))
    assert wrong(dump, sent, False) == {i for i in range(80) if sent[0][i] != sent[0][i ^ 1]}


def test_a_buffer_that_is_not_refilled_holds_the_frame_before():
    sent = [probe(95, random.Random(n)) for n in range(3)]
    setting = Setting(refill=False, buffers=2)
    first, second, third = run(built(GRANULE), sent, setting, random.Random(1))
    assert {first.cells[i].frame for i in first.unwritten} == {LEFT}
    assert {second.cells[i].frame for i in second.unwritten} == {LEFT}
    assert values(third.cells[72:]) == values(first.cells[72:])


def test_traffic_is_as_long_as_a_wire_demands():
    random_ = random.Random(3)
    assert [len(o) for o in sweep(random_)] == list(SWEEP)
    for frames in (ordinary(random_), bring_up(random_)):
        assert len(frames) == 20
        assert all(60 <= len(o) <= 1514 for o in frames)


def test_the_judge_knows_right_from_wrong():
    assert right(answer("granule", n=24, lead=0, trail=0), GRANULE)
    assert not right(answer("granule", n=48, lead=0, trail=0), GRANULE)
    assert not right(answer("tail", k=12), GRANULE)
    assert not right(answer("granule", nonsense=1), GRANULE)
    # Rounding a count of whole words of four, the FCS counted, writes every octet.
    assert right(answer("sound"), Law("granule", {"n": 4, "lead": 0, "trail": 4}))
    assert right(answer("drop", above=[250, 300]), Law("drop", {"above": 256}))
    assert not right(answer("drop", above=[250, 256]), Law("drop", {"above": 256}))


def test_the_judge_counts_what_is_said_too_surely():
    given = trial("granule", 0)
    wrong_one = answer("tail", k=1)
    row = judged(given, [wrong_one])
    assert (row.first, row.wrong_margin, row.wrong_certain) == (False, True, True)
    truth = answer(given.law.family, (wrong_one,), **given.law.parameters)
    row = judged(given, [truth])
    assert (row.first, row.in_set, row.wrong_margin, row.wrong_certain) == (
        True,
        True,
        False,
        False,
    )
    assert row.next_parts


def test_the_length_that_parts_three_granules():
    """60, 98 and 342 leave the same remainders for 16, 24 and 48 but for 86, by arithmetic."""
    three = [answer("granule", n=n, lead=0, trail=0) for n in (16, 24, 48)]
    setting = Setting()
    assert parts(three, 86, setting)
    assert not parts(three, 96, setting)


def test_a_log_of_each_machine_is_read_back_to_the_octet():
    """Through text and reader: what the tool reads is what the board printed."""
    for family in ("granule", "insert", "cut", "wrap"):
        given = trial(family, 1, "bring-up", 0.0)
        printed = [dump.octets for dump in given.printed if dump]
        frames = tool.sheet(given, "check")["frames"]
        assert len(frames) == len(printed)
        for frame, octets in zip(frames, printed, strict=True):
            around = [e["octets"] for e in frame["envelope"]]
            assert frame["octets"] in octets.hex()
            assert len(frame["octets"] + "".join(around)) == 2 * len(octets)


@pytest.mark.parametrize("place", edges.PLACES)
def test_the_edge_of_a_fill_of_another_alphabet_is_exact_or_withheld(place):
    """By the scenes of ``tests.machines.edges``: what was never written is known to the octet."""
    for number in range(6):
        given = edges.scene(place, random.Random(f"{place} {number}"))
        assert edges.outcome(given, told=True) == "exact"
        few = min(b - a for a, b in given.unwritten) < 3
        assert edges.outcome(given, told=False) in (("exact", "withheld") if few else ("exact",))
