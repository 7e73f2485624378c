"""A law put in is the law found: every family from a sweep of probes, and what it stands on."""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any

import pytest

from framecheck.damage import fill
from framecheck.laws import Gathered, Observation
from framecheck.laws._sample import BEFORE
from framecheck.laws.infer import infer
from tests.laws import faults
from tests.laws.faults import SWEEP, Fault, each, granule, observed, piece, swapped

ODD = fill("odd-parity")

CASES: list[tuple[str, dict[str, Any], Fault]] = [
    ("sound", {}, lambda t, _: t),
    ("granule", {"n": 24, "lead": 0, "trail": 0}, granule(24)),
    ("granule", {"n": 16, "lead": 2, "trail": 0}, granule(16, lead=2)),
    ("granule", {"n": 32, "lead": 0, "trail": 4}, granule(32, trail=4)),
    ("round-up", {"n": 16, "lead": 0, "trail": 0}, faults.rounded_up(16)),
    ("tail", {"k": 2}, lambda t, o: t[:-2] + o[len(t) - 2 : len(t)]),
    ("head", {"k": 4}, lambda t, o: o[:4] + t[4:]),
    ("piece", {"m": 500}, piece(500, 20)),
    ("hole", {"start": 32, "stop": 40}, lambda t, o: t[:32] + o[32:40] + t[40:]),
    ("lane", {"n": 2, "r": [1]}, faults.odd_lanes),
    ("swap", {"width": 2, "part": "keep"}, swapped(2)),
    ("swap", {"width": 4, "part": "keep"}, swapped(4)),
    ("halfword", {"part": "keep"}, faults.halfwords),
    ("insert", {"k": 3, "at": 0}, lambda t, _: b"\x10\x20\x30" + t),
    ("delete", {"k": 2, "at": 0}, lambda t, _: t[2:]),
    ("append", {"k": 2}, lambda t, _: t + bytes((len(t) & 255, t[7]))),
    ("fcs", {"k": 4}, faults.with_fcs),
    ("cut", {"k": 4}, lambda t, _: t[:-4]),
    ("limit", {"m": 1000, "mode": "unwritten"}, lambda t, o: t[:1000] + o[1000 : len(t)]),
    ("limit", {"m": 1000, "mode": "absent"}, lambda t, _: t[:1000]),
    ("drop", {"above": [1023, 1117]}, lambda t, _: t if len(t) < 1100 else None),
    (
        "stuck",
        {"width": 4, "lane": 2, "bit": 2, "value": 1},
        each(lambda i, x: x | 4 if i % 4 == 2 else x),
    ),
    ("crossed", {"a": 1, "b": 6}, each(lambda _, x: faults.exchanged(x, 1, 6))),
    ("reversal", {}, each(lambda _, x: int(f"{x:08b}"[::-1], 2))),
    ("nibble", {}, each(lambda _, x: x >> 4 | (x & 15) << 4)),
    ("slip", {"at": 0, "bits": 3, "toward": "later", "order": "msb"}, faults.later(3)),
    ("alias", {"line": 2, "mode": "write"}, faults.aliased),
    ("skip", {"n": 16, "r": 15}, lambda t, _: bytes(x for i, x in enumerate(t) if i % 16 != 15)),
    ("repeat", {"width": 2, "every": 8}, faults.doubled),
    ("wrap", {"r": 200}, faults.wrapped),
    ("ring", {"r": 4096, "step": 8}, faults.ring(4096, 8)),
    ("stale-lines", {"size": 32, "phase": 30}, faults.stale(32, 30)),
]


@pytest.mark.parametrize(
    ("family", "parameters", "fault"), CASES, ids=[f"{n}-{f}" for n, (f, _, _) in enumerate(CASES)]
)
def test_a_law_put_in_is_the_law_found(
    family: str, parameters: dict[str, Any], fault: Fault
) -> None:
    first = infer(observed(SWEEP, fault), ODD).laws[0]

    assert first["family"] == family
    assert first["parameters"].items() >= parameters.items()
    assert first["margin"] >= 10
    assert first["fails"]["count"] == 0
    assert first["holds"]["count"] == len(SWEEP)


def test_one_spoilt_frame_is_named_and_does_not_decide() -> None:
    gathered = observed(SWEEP, granule(24), seed=5, spoilt=0.12)
    first = infer(gathered, ODD).laws[0]

    assert (first["family"], first["parameters"]["n"]) == ("granule", 24)
    assert 0 < first["fails"]["count"] <= 3
    assert len(first["fails"]["examples"]) == first["fails"]["count"]


def _longer(t: bytes, _: bytes) -> bytes:
    """Four octets that differ from frame to frame, behind addresses and type."""
    return t[:14] + random.Random(len(t)).randbytes(4) + t[14:]


def _turned(t: bytes, o: bytes) -> bytes:
    """Halves of all words exchanged; a part word shows the buffer behind it."""
    return faults.halfwords(t + o[len(t) : -(-len(t) // 4) * 4], o)[: len(t)]


def _short(t: bytes, _: bytes) -> bytes:
    return t[:1024]


@pytest.mark.parametrize(
    ("families", "numbers", "one", "other"),
    [
        (("swap", "granule"), {"width": 2, "n": 32}, swapped(2), granule(32)),
        # Words hide the FCS in most frames, so that little but the length speaks of it.
        (("fcs", "granule"), {"k": 4, "n": 24}, faults.with_fcs, granule(24)),
        (("fcs", "limit"), {"k": 4, "m": 1024}, faults.with_fcs, _short),
        # What is wrong first is far in front of the gap.
        (("head", "insert"), {"k": 4, "at": 14}, lambda t, o: o[:1] + t[1:], _longer),
        # Only the transform shows old octets; the place has none that could say which.
        (("limit", "halfword"), {"m": 1024, "part": "word"}, _short, _turned),
    ],
)
def test_two_laws_one_behind_the_other_are_both_found(
    families: tuple[str, str], numbers: dict[str, Any], one: Fault, other: Fault
) -> None:
    """A place and a transform, in either order."""
    first = infer(observed(SWEEP, lambda t, o: other(one(t, o) or b"", o)), ODD).laws[0]

    assert (first["family"], first["then"] and first["then"]["family"]) == families
    told = {**first["parameters"], **first["then"]["parameters"]}
    assert {name: told[name] for name in numbers} == numbers
    assert first["holds"]["count"] == len(SWEEP)


@pytest.mark.parametrize("name", ["half", "sixteenth", "upper"])
def test_a_law_that_the_library_lacks_is_never_said_for_certain(name: str) -> None:
    coin = random.Random(7)

    def half(sent: bytes, old: bytes) -> bytes | None:
        return granule(8)(sent, old) if coin.random() < 0.5 else sent

    def sixteenth(sent: bytes, old: bytes) -> bytes | None:
        edge = len(sent) - len(sent) // 16
        return sent[:edge] + old[edge : len(sent)]

    upper = each(lambda i, x: x & 0xF7 if i >= 256 and i % 2 else x)
    fault = {"half": half, "sixteenth": sixteenth, "upper": upper}[name]

    assert not infer(observed(SWEEP, fault), ODD).laws[0]["certain"]


@pytest.mark.parametrize(
    ("met", "when"),
    [
        (lambda turn, size: size > 255, {"above": [255, 309]}),
        (lambda turn, size: size <= 255, {"up_to": [255, 309]}),
        (lambda turn, size: turn >= 9, {"from_frame": [8, 9]}),
        (lambda turn, size: turn % 3 == 2, {"every": 3, "turns": [2]}),
        (lambda turn, size: size % 2, {"n": 2, "r": [1]}),
    ],
)
def test_a_law_that_holds_for_some_frames_is_said_with_its_condition(
    met: Callable[[int, int], bool], when: dict[str, object]
) -> None:
    """Edges read off the sweep's lengths: 255 and 309 are neighbours in it."""
    turn = iter(range(1, 1000))

    def fault(sent: bytes, old: bytes) -> bytes | None:
        return granule(24)(sent, old) if met(next(turn), len(sent)) else sent

    first = infer(observed(SWEEP, fault), ODD).laws[0]

    assert (first["family"], first["parameters"]["n"]) == ("granule", 24)
    assert first["when"] == when
    assert first["fails"]["count"] == 0
    assert first["says"].startswith(("in ", "from "))


def test_a_cache_line_that_is_always_the_last_is_no_cache_line() -> None:
    """Tails of one size: chance did not choose them."""
    found = infer(observed(SWEEP, granule(16, lead=5)), ODD)

    assert found.laws[0]["family"] == "granule"
    assert all(law["family"] != "stale-lines" for law in found.laws)


def test_lines_that_only_short_frames_show_are_found_and_never_certain() -> None:
    """Two or three lines a frame: twice as long ones as the true ones stay possible."""
    first = infer(observed([60, 66, 86, 98, 60] * 4, faults.stale(64, 33)), ODD).laws[0]
    told = [first, *first["rivals"]]

    assert ("stale-lines", {"size": 64, "phase": 33}) in [
        (law["family"], law["parameters"]) for law in told
    ]
    assert first["parameters"]["size"] >= 64
    assert not first["certain"]
    assert first["next"] is None or (first["next"]["length"], first["next"]["frames"]) == (1514, 40)


def test_one_lost_length_leaves_all_remainders_that_it_has() -> None:
    """61 octets never come, nor would 62 and 63: remainders 61 to 63 of 64 stay possible."""
    lengths = [60, 61, 66, 74, 86, 98, 110, 342, 590, 61]
    first = infer(observed(lengths, lambda t, _: t if len(t) % 64 < 61 else None), ODD).laws[0]
    told = [law["parameters"] for law in (first, *first["rivals"])]

    assert {"n": 64, "r": [61, 62, 63]} in told
    assert {"n": 64, "r": [61]} in told
    assert not first["certain"]


def test_a_writer_that_begins_again_is_found_in_frames_that_repeat_themselves() -> None:
    """Every 21 octets the same again: the frame's first octets stand at very many places."""
    gathered = Gathered()
    for number in range(1, 6):
        sent = bytes(range(number, number + 40)) + bytes(range(40, 61)) * 50
        received = faults.wrapped(sent, ODD.octets(0, len(sent)))
        seen = Observation("bench.log", number, received, sent, "sent")
        gathered.add(seen, damaged=True)

    first = infer(gathered, ODD).laws[0]

    assert (first["family"], first["parameters"]) == ("wrap", {"r": 200})


@pytest.mark.parametrize("family", ["granule", "round-up"])
def test_the_frame_before_in_a_ring_of_buffers_is_found(family: str) -> None:
    """Three buffers by turns, filled once: old octets are those of three frames before, inside of
    the frame, or behind it where all of it was written."""
    buffers = [bytearray(ODD.octets(0, 2048)) for _ in range(3)]
    turn = iter(range(1000))

    def fault(sent: bytes, _: bytes) -> bytes | None:
        buffer = buffers[next(turn) % 3]
        whole = len(sent) // 24 * 24 if family == "granule" else len(sent)
        buffer[:whole] = sent[:whole]
        return bytes(buffer[: len(sent) if family == "granule" else -(-len(sent) // 24) * 24])

    first = infer(observed(SWEEP, fault), ODD).laws[0]

    assert (first["family"], first["parameters"]["n"]) == (family, 24)
    assert first["from"] == "frame before"
    assert "a ring of 3 buffers" in first["says"]


def test_what_stood_in_a_buffer_before_all_frames_that_are_remembered_contradicts_nothing() -> None:
    """A long frame behind many short ones: its end was last written before they came."""
    buffer = bytearray(ODD.octets(0, 2048))

    def fault(sent: bytes, _: bytes) -> bytes | None:
        buffer[: len(sent) - 2] = sent[:-2]
        return bytes(buffer[: len(sent)])

    first = infer(observed([98, 60] * 10 + [1514], fault), ODD).laws[0]

    assert (first["family"], first["parameters"], first["from"]) == ("tail", {"k": 2}, BEFORE)
    assert first["fails"]["count"] == 0


def granules(law: Any) -> set[int]:
    told = [law, *law["rivals"]]
    return {x["parameters"]["n"] for x in told if x["family"] == "granule"}


def edge(length: int, n: int) -> int:
    return length // n * n


def test_three_lengths_leave_three_granules_and_the_next_length_parts_them() -> None:
    first = infer(observed([60, 98, 342], granule(24)), ODD).laws[0]

    assert granules(first) == {16, 24, 48}
    assert not first["certain"]
    length = first["next"]["length"]
    assert len({edge(length, n) for n in (16, 24, 48)}) > 1


def test_one_more_length_leaves_one_granule() -> None:
    first = infer(observed([60, 98, 342, 86], granule(24)), ODD).laws[0]

    assert granules(first) == {24}
    assert first["certain"]


def test_all_frames_of_one_length_ask_for_others() -> None:
    found = infer(observed([98] * 6, granule(24)), ODD)

    assert any("63, 78 and 95" in note for note in found.notes)
    assert not found.laws[0]["certain"]


def test_one_frame_bears_no_law_but_names_the_first_probes() -> None:
    found = infer(observed([98], granule(24)), ODD)

    assert found.laws == ()
    assert "63, 78 and 95" in found.notes[0]


def test_thousands_of_frames_are_counted_not_kept() -> None:
    gathered = observed(SWEEP * 100, granule(24))
    first = infer(gathered, ODD).laws[0]

    assert gathered.kept <= 1024
    assert first["holds"]["count"] == 100 * len(SWEEP)
    assert (first["family"], first["parameters"]["n"]) == ("granule", 24)


def test_evidence_of_two_runs_adds_up() -> None:
    whole = observed([60, 98, 342], granule(24))
    whole.merge(observed([86, 131], granule(24), seed=2))
    first = infer(whole, ODD).laws[0]

    assert first["holds"]["count"] == 5
    assert granules(first) == {24}


@pytest.mark.parametrize(("n", "lead", "trail"), [(24, 0, 0), (24, 13, 4), (64, 60, 4)])
def test_the_rounding_that_is_advised_makes_every_frame_whole(
    n: int, lead: int, trail: int
) -> None:
    """The sketch in C, worked out in Python, moves the edge to the frame's end or behind it."""
    first = infer(observed(SWEEP, granule(n, lead, trail)), ODD).laws[0]
    sketch = first["workaround"]["code"].removeprefix("padded = ").removesuffix(";")
    for length in range(60, 400):
        padded = eval(sketch.replace("u", "").replace("/", "//"), {"length": length})
        assert padded - length < n
        assert (padded + lead + trail) // n * n - lead >= length
