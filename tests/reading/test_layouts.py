"""Every log of ``vectors/layouts`` reads as it is written: octets, lines, columns; and printers."""

from __future__ import annotations

import binascii
import json
import random
from pathlib import Path

import dpkt
import pytest

from framecheck.core.shelf import shelf
from framecheck.framing import content
from framecheck.reading import Reader
from framecheck.reading._block import Form
from framecheck.reading._notation import Notation
from tests.reading.make_layouts import FOLDER, logs
from tests.reading.writers_headers import HEADERS
from tests.reading.writers_pasted import PASTED
from tests.reading.writers_texts import TEXTS
from tests.strategies_layouts import frame

VECTORS = sorted(FOLDER.glob("*.log"))


def octets_of(text: str) -> list[bytes]:
    reader = Reader(content)
    return [d.octets for d in reader.feed(text) + reader.close()]


def recorded(multiple: int) -> bytes:
    """A recorded frame of 100 octets and more, its length a multiple."""
    with (FOLDER.parent / "traffic/offload-off.pcap").open("rb") as file:
        frames = [octets for _, octets in dpkt.pcap.Reader(file)]
    return next(o for o in frames if len(o) >= 100 and len(o) % multiple == 0 and o[23] == 17)


def test_every_layout_has_its_vector() -> None:
    assert {p.stem for p in VECTORS} == {name for name, _, _ in logs()}
    assert len(VECTORS) >= 60


@pytest.mark.parametrize("path", VECTORS, ids=lambda p: p.stem)
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_a_vector_reads_as_it_is_written(path: Path, end: str) -> None:
    truth = json.loads(path.with_suffix(".json").read_text())
    reader = Reader(content)
    dumps = reader.feed(path.read_text().replace("\n", end)) + reader.close()
    assert [d.octets.hex() for d in dumps] == [t["octets"] for t in truth]
    for dump, told in zip(dumps, truth, strict=True):
        places = [dump.places.at(i) for i in range(len(dump.octets))]
        assert places == [tuple(p) for p in told["places"]]


UNSURE = ["packed-little-words", "header-after-a-key"]
"""Pasted layouts that leave a question: words that nothing parts; headers without their rest."""


@pytest.mark.parametrize("name", [*TEXTS, *PASTED, *HEADERS])
def test_what_people_paste_leaves_no_question(name: str) -> None:
    reader = Reader(content)
    dumps = reader.feed((FOLDER / f"{name}.log").read_text()) + reader.close()
    open_ones = [d.says for dump in dumps for d in dump.doubts if d.decides]
    assert bool(open_ones) == (name in UNSURE), open_ones


@pytest.mark.parametrize(
    "told", ["\x1b[31m", "\x1b[0;1m", "\x1b(B", "\x1b]0;mon\x07", "\0", "\0\0"]
)
@pytest.mark.parametrize("seed", range(3))
def test_what_a_terminal_is_told_moves_no_octet(told: str, seed: int) -> None:
    rng = random.Random(seed)
    octets = frame(rng)[:90]
    cells = [f"{o:02x}" for o in octets]
    for k in rng.sample(range(len(cells)), 9):
        cells[k] = f"{told}{cells[k]}{told}"
    rows = [f"{i:04x}: {' '.join(cells[i : i + 16])}\n" for i in range(0, len(cells), 16)]
    reader = Reader(content)
    (dump,) = reader.feed(f"rx {len(octets)} octets\n{''.join(rows)}done\n") + reader.close()
    assert dump.octets == octets
    assert not any(d.decides for d in dump.doubts)
    for i, octet in enumerate(octets):
        place = dump.places.at(i)
        assert place is not None
        assert rows[place.line - 2][place.column - 1 : place.end_column - 1] == f"{octet:02x}"


@pytest.mark.parametrize("separator", [" ", ":", "-", ",", "_"])
@pytest.mark.parametrize("size", [1, 2, 4])
def test_what_the_library_prints_is_read_back(separator: str, size: int) -> None:
    # binascii.hexlify and bytes.hex of the standard library, with a separator each ``size``.
    rng = random.Random(size)
    for _ in range(20):
        octets = frame(rng)[:600]
        octets = octets[: len(octets) // size * size]
        printed = octets.hex(separator, size)
        assert printed == binascii.hexlify(octets, separator, size).decode()
        assert octets_of(f"RX {len(octets)} octets\n{printed}\n") == [octets]


def test_a_bytes_literal_is_read_back() -> None:
    # repr of bytes: printable characters stand for themselves.
    rng = random.Random(5)
    for _ in range(50):
        octets = frame(rng)[:300]
        assert octets_of(f"frame = {octets!r}\n") == [octets]


def test_numbers_without_leading_zeros_are_read_back() -> None:
    rng = random.Random(6)
    for _ in range(50):
        octets = frame(rng)[:300]
        hexadecimal = " ".join(f"{o:X}" for o in octets)
        assert octets_of(f"rx frame, {len(octets)} in buffer [0]: {hexadecimal} \n") == [octets]
        assert octets_of(f"{list(octets)}\n") == [octets]
        assert octets_of("M " + ";".join(map(str, octets)) + ";\n") == [octets]


@pytest.mark.parametrize("end", ["", " "])
def test_rows_without_leading_zeros_are_not_what_a_screen_broke(end: str) -> None:
    # Such rows have no one length: some are as long as a screen is wide.
    rng = random.Random(7)
    for _ in range(12):
        octets = frame(rng)[:300]
        for size in (8, 16, 20):
            rows = (octets[i : i + size] for i in range(0, len(octets), size))
            text = "".join(" ".join(f"{o:x}" for o in row) + f"{end}\n" for row in rows)
            assert octets_of(f"rx\n{text}\n") == [octets]


@pytest.mark.parametrize("between", [" ", ", ", ";", " | ", " sent "])
def test_several_frames_on_one_line_are_several(between: str) -> None:
    rng = random.Random(8)
    for count in (2, 3):
        frames = [frame(rng)[:300] for _ in range(count)]
        frames = [o.ljust(60, b"\0") for o in frames]
        line = between.join(o.hex() for o in frames)
        assert octets_of(f"41 {line}") == frames
        reader = Reader(content)
        dumps = reader.feed(f"x: {line}\n") + reader.close()
        ends = [d.places.at(0).column for d in dumps]
        assert ends == [4 + line.index(o.hex()) for o in frames]
        assert reader.digits + reader.framing + reader.skipped == reader.characters


@pytest.mark.parametrize("order", [1, -1])
@pytest.mark.parametrize("front", ["fifo pop 0x", "rxd[{}] = 0x", "[ 3.0{}] word {}: "])
def test_words_of_a_fifo_are_one_frame_and_a_lost_one_is_said(front: str, order: int) -> None:
    octets = recorded(4)
    words = [octets[i : i + 4][::order].hex() for i in range(0, len(octets), 4)]
    lines = [front.format(i, i) + w for i, w in enumerate(words)]
    assert octets_of("\n".join(["got it", *lines, "done", ""])) == [octets]
    for lost in (lines[:9] + lines[10:], [*lines[:9], lines[9][:-1], *lines[10:]]):
        reader = Reader(content)
        dumps = reader.feed("\n".join([*lost, "done", ""])) + reader.close()
        assert any(d.about == "lost lines" and d.decides for x in dumps for d in x.doubts)


def test_a_list_with_remarks_in_front_of_its_octets_is_one_frame() -> None:
    octets = recorded(1)
    rows = [octets[:6], octets[6:12], octets[12:14], octets[14:34], octets[34:]]
    names = ["/* to */", "/* from", "   over two lines */", "", "/* IP */ /* header */"]
    lines = [n + ", ".join(f" 0x{o:02X}" for o in r) for n, r in zip(names, rows, strict=True)]
    lines[1] = "/* from */" + lines[1].removeprefix("/* from")
    lines[2] = "/* a remark\n" + lines[2]
    text = "const char frame[] = {\n" + ",\n".join(lines) + "\n};\n"
    assert octets_of(text) == [octets]


@pytest.mark.parametrize("size", [1, 13])
def test_the_shortest_dumps(size: int) -> None:
    octets = bytes.fromhex("00005e00530100005e00530208")[:size]
    assert octets_of(f"RX {size} octets:\n0000: {octets.hex(' ')}\n") == [octets]


def test_the_longest_frame() -> None:
    octets = frame(random.Random(1)).ljust(65_535, b"\x41")
    rows = [f"{i:08x}: {octets[i : i + 16].hex(' ')}\n" for i in range(0, 65_535, 16)]
    assert octets_of("".join(rows)) == [octets]
    assert octets_of(f"RX 65535 octets: {octets.hex()}\n") == [octets]


def test_a_dump_of_nothing_but_fill_is_a_frame() -> None:
    letters = bytes(0x41 + i % 26 for i in range(60))
    for octets in (letters, bytes(60), b"\xa5" * 60, bytes(range(60))):
        rows = [f"{i:04x}: {octets[i : i + 16].hex(' ')}\n" for i in range(0, 60, 16)]
        assert octets_of("".join(rows)) == [octets]
        assert octets_of("RX 60 octets\n" + octets.hex(" ") + "\n") == [octets]


def test_what_the_lines_near_by_say() -> None:
    octets = frame(random.Random(2))[:60]
    rows = "".join(f"{i:04x}: {octets[i : i + 16].hex(' ')}\n" for i in range(0, 60, 16))
    reader = Reader(content)
    text = f"[   12.345678] eth0: received packet, len {len(octets)}\n{rows}"
    text += f"2001-02-03 04:05:06,789 sent frame of {len(octets)} bytes\n{rows}done\n"
    first, second = reader.feed(text) + reader.close()
    assert (first.direction, first.claimed_length, first.stamp) == ("received", 60, "12.345678")
    assert (second.direction, second.claimed_length) == ("sent", 60)
    assert second.stamp == "2001-02-03 04:05:06,789"


def test_a_first_row_above_zero_is_a_tail_at_the_top_and_a_doubt_elsewhere() -> None:
    octets = frame(random.Random(2))[:60]
    rows = [f"{i:04x}: {octets[i : i + 16].hex(' ')}\n" for i in range(0, 60, 16)]
    reader = Reader(content)
    (dump,) = reader.feed("".join(rows[1:]) + "done\n") + reader.close()
    assert dump.at_start
    assert any(d.decides for d in dump.doubts)


def test_a_lost_line_is_said() -> None:
    octets = frame(random.Random(2)).ljust(100, b"\x42")[:100]
    rows = [f"{i:04x}: {octets[i : i + 16].hex(' ')}\n" for i in range(0, 100, 16)]
    del rows[3]
    reader = Reader(content)
    (dump,) = reader.feed("".join(rows) + "done\n") + reader.close()
    assert dump.octets == octets[:48] + octets[64:]
    assert [(d.about, d.decides) for d in dump.doubts] == [("lost lines", True)]
    assert dump.doubtful == ((47, 49),)


def test_a_lost_digit_shifts_nothing_and_the_gutter_puts_it_back() -> None:
    octets = frame(random.Random(3))[:48] + b"row 7, leaf 0.4!"
    text = "".join(
        f"{i:04x}: {octets[i : i + 16].hex(' ')}  |"
        + "".join(chr(o) if 32 <= o < 127 else "." for o in octets[i : i + 16])
        + "|\n"
        for i in range(0, 64, 16)
    )
    broken = "got packet, len 64\n" + text.replace("72 6f 77", "72 f 77")
    reader = Reader(content)
    (dump,) = reader.feed(broken + "done\n") + reader.close()
    assert dump.octets == octets
    assert dump.doubtful == ((49, 50),)
    assert [(d.about, d.decides) for d in dump.doubts] == [("broken digits", False)]


def test_a_cut_log_ends_at_the_edge() -> None:
    octets = frame(random.Random(2)).ljust(100, b"\x42")[:100]
    rows = "".join(f"{i:04x}: {octets[i : i + 16].hex(' ')}\n" for i in range(0, 100, 16))
    reader = Reader(content)
    (dump,) = reader.feed(rows[:230]) + reader.close()
    assert dump.at_edge
    assert octets.startswith(dump.octets)


def test_every_notation_reads_its_own_example() -> None:
    known = bytes.fromhex("02005e10000102005e1000020806")
    for notation in shelf("framecheck.reading.notations", Notation):
        (octets,) = octets_of(f"got frame:\n{notation.example}\n")
        assert octets == known[: len(octets)]
        assert len(octets) >= 12


def test_every_form_reads_its_own_example() -> None:
    known = bytes.fromhex("02005e10000102005e1000020806")
    for form in shelf("framecheck.reading.blocks", Form):
        found = octets_of(f"got frame of 14 octets:\n{form.example}done\n")
        assert found, form.name
        assert {octets[:14] for octets in found} == {known}, form.name


@pytest.mark.parametrize("marker", ["*", "...same...", "(4 more of these)", "... 3 lines repeated"])
def test_all_octets_of_a_repeat_marker_stand_at_it(marker: str) -> None:
    octets = frame(random.Random(2))[:16] + bytes(80) + b"\x07"
    rows = [f"{i:04x}: {octets[i : i + 16].hex(' ')}\n" for i in (0, 16, 96)]
    reader = Reader(content)
    text = f"{rows[0]}{rows[1]}{marker}\n{rows[2]}done\n"
    (dump,) = reader.feed(text) + reader.close()
    assert dump.octets == octets
    assert {dump.places.at(i) for i in range(32, 96)} == {(3, 1, len(marker) + 1)}


def test_a_block_that_is_none_is_read_line_by_line() -> None:
    octets = frame(random.Random(2))[:60]
    rows = "".join(f"{i:04x}: {octets[i : i + 16].hex(' ')}\n" for i in range(0, 60, 16))
    for front in ("row 7: 1 open\nrow 8: 2 open\n", "0: 1 2 3 4\n", "to: 00:00:5e:00:53:01\n"):
        assert octets_of(front + rows + front) == [octets]
