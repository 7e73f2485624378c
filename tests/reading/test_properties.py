"""What holds for any text: it is tiled, no cutting changes the dumps, nothing raises."""

from __future__ import annotations

import random
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from framecheck.core.frame import Dump
from framecheck.framing import content
from framecheck.reading import Reader
from tests.chatter import chatter
from tests.effort import effort
from tests.reading.make_layouts import FOLDER
from tests.strategies_layouts import Layout, frame, frames, layouts, printed, random_layout

ALPHABET = "0123456789abcdefABCDEFx:.,;|-<>[](){}'\"\\ \t\n\r#= len rx\x00\x1b\ufeff\x85\u2028é"


def read(text: str, pieces: list[str] | None = None) -> tuple[Reader, list[Dump]]:
    reader = Reader(content, keep_marks=True)
    dumps: list[Dump] = []
    for piece in pieces if pieces is not None else [text]:
        dumps += reader.feed(piece)
    return reader, dumps + reader.close()


BASES = {"decimal": 10, "octal": 8, "binary": 2}


def lines_of(text: str) -> list[str]:
    return text.replace("\r\n", "\n").replace("\r", "\n").split("\n")


def damaged_log(seed: int) -> str:
    """Two frames among chatter, with some characters lost, doubled, swapped or foreign."""
    rng = random.Random(seed)
    text = ""
    for _ in range(rng.choice((1, 2))):
        text += chatter(rng.randrange(3), rng.randrange(1 << 20))
        text += printed(frame(rng)[: rng.choice((60, 100, 2000))], random_layout(rng))[0]
    if rng.random() < 0.3:
        text = text.replace("\n", rng.choice(("\r\n", "\r")))
    characters = list(text)
    for _ in range(rng.randrange(4)):
        at = rng.randrange(len(characters))
        kind = rng.randrange(4)
        if kind == 0:
            del characters[at]
        elif kind == 1:
            characters.insert(at, characters[at])
        elif kind == 2:
            characters[at] = rng.choice(ALPHABET)
        else:
            del characters[at : at + rng.randrange(80)]
        if not characters:
            break
    return "".join(characters)


texts = st.one_of(
    st.text(max_size=400),
    st.text(ALPHABET, max_size=600),
    st.integers(0, 1 << 30).map(damaged_log),
)


def held(text: str) -> None:
    """The text is tiled, the counters add up, and every octet's digits stand at its place."""
    reader, dumps = read(text)
    marks = reader.marks
    at = 0
    sums = {"digits": 0, "framing": 0, "skipped": 0}
    for mark in marks:
        assert mark.start == at
        assert mark.stop > mark.start
        at = mark.stop
        sums[mark.kind] += mark.stop - mark.start
    assert at == len(text) == reader.characters
    assert sums == {
        "digits": reader.digits,
        "framing": reader.framing,
        "skipped": reader.skipped,
    }
    assert sum(d.digits for d in dumps) == reader.digits
    assert sum(d.framing for d in dumps) == reader.framing
    lines = lines_of(text)
    for dump in dumps:
        doubtful = {i for a, b in dump.doubtful for i in range(a, b)}
        for i, octet in enumerate(dump.octets):
            place = dump.places.at(i)
            assert place is not None
            digits = lines[place.line - 1][place.column - 1 : place.end_column - 1]
            assert digits
            layout = dump.layout or ""
            if i in doubtful or "literal" in layout:
                continue
            if place in (dump.places.at(i + 1), dump.places.at(i - 1)):
                continue  # a repeat marker stands for many
            base = next((b for word, b in BASES.items() if f", {word}," in layout), 16)
            if base != 16:
                assert int(digits, base) % 256 == octet
            elif "without leading zeros" in layout:
                assert int(digits, 16) == octet
            else:
                assert digits.lower() == f"{octet:02x}"


@given(texts)
@settings(max_examples=400, deadline=None)
@example("0000: 02 00")
@example("\r\r\n\r")
@example("0000: 02 00 5e\r\n0003: 10 00 01\r")
def test_any_text_is_tiled_and_every_octet_stands_at_its_place(text: str) -> None:
    held(text)


@given(texts, st.lists(st.integers(0, 2000), max_size=12))
@settings(max_examples=300, deadline=None)
def test_any_cutting_of_the_text_gives_the_same_dumps(text: str, cuts: list[int]) -> None:
    points = sorted({0, len(text), *(c % (len(text) + 1) for c in cuts)})
    pieces = [text[a:b] for a, b in pairwise(points)]
    whole, dumps = read(text)
    cut, same = read(text, pieces)
    single, again = read(text, list(text))
    assert [_plain(d) for d in dumps] == [_plain(d) for d in same] == [_plain(d) for d in again]
    assert whole.marks == cut.marks == single.marks
    assert whole.doubts == cut.doubts == single.doubts


def _plain(dump: Dump) -> tuple[object, ...]:
    return (*dump._replace(places=None), dump.places.rows)  # type: ignore[arg-type]


@given(st.sampled_from(sorted(FOLDER.glob("*.log"))), st.integers(0, 1 << 30))
@settings(max_examples=150, deadline=None)
@example(FOLDER / "packed-groups-clock.log", 10)
@example(FOLDER / "long-lines.log", 5)
@example(FOLDER / "two-beside.log", 13)
def test_any_damage_of_any_layout_leaves_the_text_tiled(path: Path, seed: int) -> None:
    rng = random.Random(seed)
    characters = list(path.read_text()[:1500])
    for _ in range(rng.randrange(5)):
        at = rng.randrange(len(characters))
        characters[at : at + rng.choice((0, 1, 1, 40))] = rng.choices(ALPHABET, k=rng.randrange(3))
    held("".join(characters))


@given(frames(), layouts())
@settings(max_examples=500, deadline=None)
def test_each_combination_of_traits_reads_back_what_it_writes(
    octets: bytes, layout: Layout
) -> None:
    text, truth = printed(octets, layout)
    _, dumps = read(text)
    assert [d.octets for d in dumps] == [octets]
    places = tuple(tuple(dumps[0].places.at(i) or ()) for i in range(len(octets)))
    assert places == truth.places


@given(st.integers(0, 1 << 30))
@settings(max_examples=150, deadline=None)
def test_frames_one_after_another_stay_apart(seed: int) -> None:
    rng = random.Random(seed)
    layout = random_layout(rng)
    apart = "\n" if not layout.offset and not layout.header else ""
    sent = [frame(rng) for _ in range(3)]
    text = "".join(printed(f, layout)[0] + apart for f in sent)
    _, dumps = read(text)
    assert [d.octets for d in dumps] == sent


@pytest.mark.parametrize("seed", range(2))
def test_chatter_holds_no_frame(seed: int) -> None:
    text = chatter(10_000, seed)
    reader, dumps = read(text)
    assert [text.split("\n")[d.places.rows[0].line - 1] for d in dumps] == []
    assert reader.skipped == len(text)


def test_work_grows_with_the_length_of_the_text() -> None:
    # Four times the text must cost about four times the work, whatever it looks like.
    def cost(text: str) -> int:
        reader = Reader(content)

        def work() -> None:
            for at in range(0, len(text), 4096):
                reader.feed(text[at : at + 4096])
            reader.close()

        return effort(work)

    for unit in (
        "ab",
        "ab ",
        "0 ",
        "\\x41",
        "0000: 41 42\r",
        "0x41, ",
        "a" * 29 + " ",
        "1 ",
        " ",
        "aa |",
    ):
        small = unit * (20_000 // len(unit))
        assert cost(small * 4) < 6 * cost(small) + 2_000


def test_a_line_of_ten_megabytes_is_one_dump_with_a_doubt() -> None:
    text = "02 00 5e 10 00 01 02 00 5e 10 00 02 08 00 45 00 " * 210_000
    reader, dumps = read(text)
    assert len(dumps) == 1
    assert 65_535 <= len(dumps[0].octets) < 80_000
    assert any(d.about == "length of a line" for d in reader.doubts)
    assert any(d.about == "length of the dump" for d in dumps[0].doubts)
    assert reader.characters == len(text)
