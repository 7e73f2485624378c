"""Every damage, undone: what was sent comes back, but for what the damage says it lost.

No source: the families are those of public fault reports, the arithmetic is the test's own.
"""

from __future__ import annotations

from typing import Any
from zlib import crc32

import pytest
from hypothesis import given
from hypothesis import strategies as st

from framecheck.core.shelf import modules
from framecheck.core.span import each
from framecheck.damage import mechanism, place

FAMILIES = [m.replace("_", "-") for m in modules("framecheck.damage") if m != "fills"]
PLACED_FAMILIES = ("granule", "head", "hole", "lane", "piece", "tail")
MECHANISMS = {f: mechanism(f) for f in FAMILIES if f not in PLACED_FAMILIES}
PLACES = {f: place(f) for f in PLACED_FAMILIES}
SMALL = st.integers(0, 80)
BIT = st.integers(0, 7)
PART = st.sampled_from(["keep", "word"])

PARAMETERS: dict[str, dict[str, st.SearchStrategy[Any]]] = {
    "alias": {"line": st.integers(0, 6), "mode": st.sampled_from(["read", "write", "both"])},
    "append": {"k": st.integers(0, 9)},
    "crossed": {"a": BIT, "b": BIT},
    "cut": {"k": SMALL},
    "delete": {"k": st.integers(0, 9), "at": SMALL},
    "fcs": {"k": st.integers(1, 4)},
    "halfword": {"part": PART},
    "insert": {"k": st.integers(0, 9), "at": SMALL},
    "limit": {"m": SMALL, "mode": st.just("unwritten")},
    "nibble": {},
    "repeat": {"width": st.integers(1, 8), "every": st.integers(8, 32)},
    "reversal": {},
    "skip": {"n": st.integers(2, 9), "r": st.just(1)},
    "slip": {
        "bits": st.integers(1, 7),
        "toward": st.sampled_from(["later", "earlier"]),
        "order": st.sampled_from(["msb", "lsb"]),
        "at": SMALL,
    },
    "stuck": {
        "width": st.sampled_from([1, 2, 4, 8]),
        "lane": st.just(0),
        "bit": BIT,
        "value": st.integers(0, 1),
    },
    "swap": {"width": st.sampled_from([2, 4, 8]), "part": PART},
}
LENGTH_ONLY = {"round-up"}
"""Surplus octets whose number the received ones do not tell."""


def test_every_mechanism_is_tried_and_named_as_its_file() -> None:
    assert all(thing.family == name for name, thing in (MECHANISMS | PLACES).items())
    assert set(MECHANISMS) == set(PARAMETERS) | LENGTH_ONLY


@pytest.mark.parametrize("family", sorted(PARAMETERS))
@given(sent=st.binary(max_size=80), data=st.data())
def test_undone_it_is_what_was_sent_but_for_what_is_lost(
    family: str, sent: bytes, data: st.DataObject
) -> None:
    damage = MECHANISMS[family]
    given_ = {k: data.draw(v, label=k) for k, v in PARAMETERS[family].items()}

    received = damage.apply(sent, **given_)
    size = {"length": len(sent)} if family == "skip" else {}
    back = damage.undo(received, **given_, **size)
    lost = set(each(damage.lost(len(sent), **given_)))

    known = [i for i in range(len(sent)) if i not in lost]
    at = given_.get("at", 0)
    if family in ("insert", "delete") and at > len(sent):
        return  # such a place is no place of this frame
    assert [back[i] for i in known if i < len(back)] == [sent[i] for i in known if i < len(back)]
    assert all(i in lost for i in range(len(back), len(sent)))


@given(sent=st.binary(min_size=1, max_size=60), width=st.integers(1, 9), at=st.integers(0, 50))
def test_one_group_that_came_twice_is_taken_out(sent: bytes, width: int, at: int) -> None:
    repeat = MECHANISMS["repeat"]
    received = repeat.apply(sent, width=width, at=at)
    if at + width <= len(sent):
        assert len(received) == len(sent) + width
        assert repeat.undo(received, width=width, at=at) == sent


def test_of_every_so_many_octets_the_last_ones_come_twice() -> None:
    """Worked out by hand: all counts are octets, and a part at the end comes twice as a part."""
    twice = MECHANISMS["repeat"].apply
    assert twice(b"abcdefghijklmno", width=2, every=8) == b"abcdefghghijklmnoo"
    assert twice(b"abcd", width=1, every=1) == b"aabbccdd"


@given(sent=st.binary(max_size=80), n=st.integers(1, 64), lead=st.integers(0, 63))
def test_rounding_up_ends_on_an_edge(sent: bytes, n: int, lead: int) -> None:
    received = MECHANISMS["round-up"].apply(sent, n=n, lead=lead)
    assert (lead + len(received)) % n == 0
    assert 0 <= len(received) - len(sent) < n
    assert MECHANISMS["round-up"].undo(received, n=n, lead=lead, length=len(sent)) == sent


@pytest.mark.parametrize("name", ["granule", "fills", "none-such"])
def test_what_is_no_mechanism_is_a_key_error(name: str) -> None:
    with pytest.raises(KeyError):
        mechanism(name)


def test_the_fcs_is_the_crc_of_another_library() -> None:
    sent = bytes(range(60))
    assert MECHANISMS["fcs"].apply(sent) == sent + crc32(sent).to_bytes(4, "little")


def test_a_slip_is_a_shift_of_one_long_number() -> None:
    sent = bytes.fromhex("80000001")
    slip = MECHANISMS["slip"]
    assert slip.apply(sent, bits=1, toward="later", order="msb").hex() == "40000000"
    assert slip.apply(sent, bits=1, toward="earlier", order="msb").hex() == "00000002"
    # The least significant bit first: 80 is the octet's last bit, 01 its first.
    assert slip.apply(sent, bits=1, toward="later", order="lsb").hex() == "00010002"
    assert slip.apply(sent, bits=1, toward="later", order="msb", foreign=1).hex() == "c0000000"


@pytest.mark.parametrize(
    ("length", "n", "lead", "trail", "expected"),
    [
        (66, 32, 0, 0, ((64, 66),)),
        (66, 32, 4, 0, ((60, 66),)),
        (92, 32, 0, 4, ()),
        (94, 32, 0, 4, ()),
        (66, 4, 0, 4, ()),
        (10, 64, 0, 0, ((0, 10),)),
        (64, 16, 0, 0, ()),
    ],
)
def test_a_granule_counts_from_lead_to_trail(
    length: int, n: int, lead: int, trail: int, expected: tuple[tuple[int, int], ...]
) -> None:
    assert PLACES["granule"].unwritten(length, n=n, lead=lead, trail=trail) == expected


PLACED: dict[str, tuple[dict[str, Any], tuple[tuple[int, int], ...]]] = {
    "granule": ({"n": 16}, ((64, 70),)),
    "head": ({"k": 3}, ((0, 3),)),
    "hole": ({"start": 5, "stop": 9}, ((5, 9),)),
    "lane": ({"n": 64, "r": (1, 2)}, ((1, 3), (65, 67))),
    "piece": ({"m": 64, "most": 8}, ((64, 70),)),
    "tail": ({"k": 4}, ((66, 70),)),
}


@pytest.mark.parametrize("family", sorted(PLACES))
def test_a_place_keeps_what_the_buffer_held(family: str) -> None:
    parameters, expected = PLACED[family]
    sent, before = bytes(range(70)), b"\xee" * 70

    received = PLACES[family].apply(sent, before, **parameters)

    unwritten = {i for a, b in expected for i in range(a, b)}
    assert PLACES[family].unwritten(70, **parameters) == expected
    assert received == bytes(0xEE if i in unwritten else o for i, o in enumerate(sent))


def test_a_short_last_piece_is_written_when_it_is_long_enough() -> None:
    piece = PLACES["piece"]
    assert piece.unwritten(80, m=64, most=8) == ()
    assert piece.unwritten(60, m=64, most=60) == ()
