"""Logs that no console should print: endless, absurd, cut anywhere. Bounded cost, a plain word.

Costs are compared by ratio on one machine in one run; memory is the high water mark that the
operating system keeps of a process (proc(5), VmHWM).
"""

from __future__ import annotations

import random
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

import framecheck
from framecheck.core.sheet import FrameRecord, Sheet
from framecheck.framing import content
from framecheck.reading import Reader
from tests.outside.recordings import SUMMED, frames
from tests.strategies_layouts import Layout, printed, random_layout

VECTORS = Path(__file__).parents[2] / "vectors"
PARTS = ("layouts", "strangers", "strangers2", "demo")
LOGS = sorted(p for part in PARTS for p in (VECTORS / part).glob("*.log"))
PIECE = 1 << 16
GENEROUS = 8
"""Times longer that four times as much text may take."""
PLAIN = Layout(offset="{:04x}: ", gutter="  |{}|")

LINES: dict[str, str] = {
    "pairs": "02 00 5e 10 00 01 02 00 5e 10 00 02 08 00 45 00 ",
    "digits": "02005e10000102005e10000208004500",
    "words": "02005e10 00010200 5e100002 08004500 ",
    "constants": "0x02, 0x00, 0x5e, 0x10, 0x00, 0x01, ",
    "escapes": "\\x02\\x00\\x5e",
    "decimal": "2, 0, 94, 16, 0, 1, 2, 0, 94, 16, 0, 2, 8, 0, 69, 0, ",
    "offsets": "0000: 0010: 0020: ",
    "bars": "| 02 00 |..| ",
    "odd groups": "020 005 e10 000 ",
    "terminal escapes": "\x1b[31m02\x1b[0m ",
    "NUL": "\0",
    "prose": "wind machine idle ",
    "blanks": " ",
}
"""What one endless line repeats."""


def cost(text: str) -> float:
    """Processor seconds of the tolerant reader."""
    start = time.process_time()
    reader = Reader(content)
    for at in range(0, len(text), PIECE):
        reader.feed(text[at : at + PIECE])
    reader.close()
    assert reader.digits + reader.framing + reader.skipped == reader.characters == len(text)
    return time.process_time() - start


@pytest.mark.parametrize("unit", LINES)
def test_an_endless_line_costs_as_its_length(unit):
    small = LINES[unit] * (100_000 // len(LINES[unit]))
    once = min(cost(small), cost(small))
    # What else the machine does may make one of them dear.
    assert any(cost(small * 4) < GENEROUS * once + 0.05 for _ in range(3))


def test_a_line_of_twenty_megabytes_costs_no_more_than_its_length_in_time_or_memory():
    unit = LINES["pairs"]
    code = (
        "import re, sys, time\n"
        "from framecheck.framing import content\n"
        "from framecheck.reading import Reader\n"
        "size, unit = int(sys.argv[1]), sys.argv[2]\n"
        "reader, start, made, dumps = Reader(content), time.process_time(), 0, 0\n"
        "piece = unit * (65536 // len(unit))\n"
        "while made < size:\n"
        "    dumps += len(reader.feed(piece))\n"
        "    made += len(piece)\n"
        "dumps += len(reader.close())\n"
        "assert reader.characters == made\n"
        "assert reader.digits + reader.framing + reader.skipped == made\n"
        "peak = re.search(r'VmHWM:\\s*(\\d+)', open('/proc/self/status').read())[1]\n"
        "print(time.process_time() - start, peak, dumps, len(reader.doubts))\n"
    )

    def run(size: int) -> list[float]:
        command = [sys.executable, "-c", code, str(size), unit]
        out = subprocess.run(command, capture_output=True, text=True, check=True, timeout=50)
        return [float(x) for x in out.stdout.split()]

    small, large = run(5_000_000), run(20_000_000)
    assert large[0] < GENEROUS * small[0] + 0.05
    assert large[1] < 1.2 * small[1]
    assert small[2:] == large[2:]
    assert large[3], "the line is longer than what is read of it: that has to be said"


def shuffled(count: int, seed: int) -> tuple[str, int]:
    """So many frames, each in another layout, with a title between them."""
    rng = random.Random(seed)
    recorded = [o for o in frames(SUMMED) if len(o) < 120]
    parts = []
    for _ in range(count):
        layout = random_layout(rng)._replace(
            prefix=rng.choice(("", " " * rng.randrange(9), f"t{rng.randrange(10**6)}: ")),
            per_row=8 * rng.randrange(1, 9),
            offset=rng.choice(("", "{:04x}: ", "{:0" + str(rng.randrange(3, 9)) + "x}  ")),
            header="",
            blank_lines=False,
        )
        octets = rng.choice(recorded)
        parts.append(f"lan: received {len(octets)} octets\n{printed(octets, layout)[0]}\n")
    return "".join(parts), count


def test_many_layouts_one_after_another_cost_as_their_number():
    text, count = shuffled(400, 1)
    quarter = text[: text.index("lan: received", len(text) // 4)]
    assert len(framecheck.read(quarter)) > 0.9 * count / 4
    assert cost(text) < GENEROUS * cost(quarter) + 0.05


def held(text: str) -> Sheet:
    """The sheet of any text, whose characters are all counted and whose octets stand in it."""
    sheet = framecheck.check(text)
    used = sheet.totals.inputs[0]
    assert used.digits + used.framing + used.skipped == used.characters == len(text)
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    for record in sheet.frames:
        for row in record.frame.dump.places.rows:
            assert 1 <= row.line <= len(lines)
            for column, end in zip(row.columns, row.ends, strict=True):
                assert 1 <= column < end <= len(lines[row.line - 1]) + 1
    return sheet


def doubted(sheet: Sheet) -> bool:
    """Whether anything is said not to be sure, of a frame or of the log."""
    states = {r.state for r in sheet.frames}
    said = any(r.doubts or r.doubtful for r in sheet.frames) or sheet.totals.inputs[0].doubts
    return bool(said) or bool(states & {"cut", "cannot tell"})


FRAME = next(o for o in frames(SUMMED) if len(o) > 96)
ROWS = [f"{at:04x}: {FRAME[at : at + 16].hex(' ')}" for at in range(0, len(FRAME), 16)]


def test_offsets_that_go_backwards_are_no_frame_without_a_word():
    for rows in (ROWS[::-1], [*ROWS[:3], *ROWS[1:]], [ROWS[0], ROWS[2], ROWS[1], *ROWS[3:]]):
        sheet = held("\n".join(rows) + "\n")
        for record in sheet.frames:
            right = record.frame.dump.octets == FRAME
            assert right or record.doubts or record.state in ("cut", "cannot tell")
        assert doubted(sheet)


@pytest.mark.parametrize("length", [0, 2**31, 2**32 - 1, 2**63, 2**64, 10**400, -1, -(2**63)])
@pytest.mark.parametrize("form", ["{}", "0x{:x}"])
def test_an_absurd_length_does_not_cost_the_frame(length, form):
    for words in ("lan: received {} octets", "rx len={}", "length: {}"):
        header = words.format(form.format(length))
        sheet = held(header + "\n" + "\n".join(ROWS) + "\nlan: idle\n")
        assert [r.frame.dump.octets for r in sheet.frames] == [FRAME]
        assert sheet.frames[0].state in ("sound", "cannot tell")


def test_absurd_offsets_end_with_a_word_and_without_an_octet_made_up():
    for offsets in (
        [0, 2**63],
        [2**63, 2**63 + 16],
        [2**64 - 16, 2**64],
        [0, 16, 2**40],
        [0xFFFFFFF0, 0],
    ):
        rows = [f"{at:08x}: {FRAME[16 * i : 16 * i + 16].hex(' ')}" for i, at in enumerate(offsets)]
        sheet = held("\n".join(rows) + "\n")
        for record in sheet.frames:
            assert record.frame.dump.octets in FRAME


@pytest.mark.parametrize("width", [1, 3, 5, 7, 9, 15, 17, 31])
def test_groups_of_odd_digits_are_doubted_or_no_dump(width):
    digits = FRAME.hex()
    groups = [digits[at : at + width] for at in range(0, len(digits), width)]
    for between in (" ", ":", ", "):
        for per_row in (8, 16, len(groups)):
            rows = [
                between.join(groups[at : at + per_row]) for at in range(0, len(groups), per_row)
            ]
            for record in held("lan: frame\n" + "\n".join(rows) + "\nlan: idle\n").frames:
                assert record.frame.dump.octets == FRAME or record.doubts


SPRINKLED = {
    "NUL": "\0",
    "terminal colour": "\x1b[1;32m",
    "terminal title": "\x1b]0;console\x07",
    "backspace": "\b",
    "replacement": "\ufffd",
    "byte order mark": "\ufeff",
    "vertical tab": "\v",
    "line separator": "\u2028",
    "next line": "\x85",
}


WITHOUT_A_WORD: tuple[str, ...] = ()
"""Foreign characters for which that does not hold yet. The list can only shrink."""


@pytest.mark.parametrize("name", SPRINKLED)
def test_foreign_characters_anywhere_leave_no_wrong_octet_without_a_word(name):
    text = "lan: frame\n" + "\n".join(ROWS) + "\nlan: idle\n"
    rng = random.Random(name)
    silent = []
    for _ in range(60):
        at = rng.randrange(len(text))
        sheet = held(text[:at] + SPRINKLED[name] + text[at:])
        for record in sheet.frames:
            if record.frame.dump.octets != FRAME and not doubted(sheet):
                silent.append((at, record.state))
    assert bool(silent) == (name in WITHOUT_A_WORD), silent


def test_lone_returns_end_lines():
    rows = ["lan: frame", *ROWS, "lan: idle"]
    for end in ("\r", "\r\r", "\r\r\n", "\n\r"):
        sheet = held(end.join(rows) + end)
        assert [r.frame.dump.octets for r in sheet.frames] == [FRAME], repr(end)
        assert {r.state for r in sheet.frames} == {"sound"}
    for only in ("\r", "\r\n", "\n", "\0", "\x1b["):
        sheet = held(only * 10_000)
        assert sheet.frames == ()


@contextmanager
def within(seconds: float) -> Iterator[None]:
    """Break off what takes longer, with TimeoutError: a pattern can look back without an end."""

    def stop(*_: object) -> None:
        raise TimeoutError

    before = signal.signal(signal.SIGALRM, stop)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


UNCLOSED = {
    "a literal cut in an escape": '"' + "\\x00" * 400 + "\\x4",
    "a literal without its end": 'b"' + "\\x00A" * 400,
    "an array without its end": "{ " + "0x00, " * 400 + "0x",
    "brackets": "[" * 2000 + "02 00 5e",
    "bars": "0000: 02 00 " + "|" * 2000,
    "quotes": "'\"" * 2000,
    "backslashes": "\\" * 2000,
    "a sign before each": "-1 " * 700 + "x",
    "groups and a letter": "0200 " * 500 + "g",
    "a string of digits without its end": '"' + "02" * 1000,
    "a name and blanks": "to" + " " * 5000,
    "empty places": "0000: 02 00 5e 10 00 01 02 00\n0008: " + "--" * 500 + "x",
    "digits and a letter": "02" * 1000 + "g",
    "stamps": "[ 1.2] " * 300 + "02",
}
"""What begins as a dump's line does, and does not end so: where patterns look back."""
ENDLESS: tuple[str, ...] = ()
"""Those that are not through in a few seconds. The list can only shrink."""


@pytest.mark.parametrize("name", UNCLOSED)
def test_a_line_without_its_end_is_through_at_once(name):
    ends = True
    try:
        with within(2.0):
            held(f"lan: frame\n{UNCLOSED[name]}")
    except TimeoutError:
        ends = False
    assert ends == (name not in ENDLESS)


def blamed(path: Path, budget: int | None = None) -> list[str]:
    """What is wrong about prefixes of a log: one damages a frame that is sound in all of it.

    ``budget``: characters that may be read in all, or None for every prefix.
    """
    text = path.read_bytes().decode(errors="replace")
    fine = {place_of(r) for r in held(text).frames if r.state == "sound"}
    lengths = list(range(len(text)))
    if budget is not None:
        lengths = random.Random(len(text)).sample(lengths, min(len(text), budget // len(text)))
    found = []
    for length in lengths:
        try:
            with within(2.0):
                records = held(text[:length]).frames
        except TimeoutError:
            found.append(f"{length} characters: no end")
            break
        for record in records:
            if record.state == "damaged" and place_of(record) in fine:
                found.append(f"{length} characters: line {place_of(record)[0]} damaged")
    return found


def place_of(record: FrameRecord) -> tuple[int, int]:
    """Line and column of a frame's first octet."""
    place = record.places.at(0)
    return (place.line, place.column) if place else (0, 0)


BUDGET = 25_000
BLAMED: tuple[str, ...] = ()
"""Logs of which a prefix damages a frame that is sound in all of it. The list can only shrink.

``python -m tests.trials.prefixes`` looks at every prefix; this test at a few of each log.
"""


@pytest.mark.parametrize("path", LOGS, ids=lambda p: p.stem)
def test_a_cut_anywhere_damages_no_frame_that_is_sound(path):
    found = blamed(path, BUDGET)
    assert bool(found) == (path.stem in BLAMED), found[:5]
