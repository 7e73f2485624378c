"""The C for the board: through a compiler, run, read back; and through damage of the console."""

from __future__ import annotations

import random
import shutil
import subprocess
from pathlib import Path

import pytest

import framecheck
from framecheck.cli import run
from framecheck.damage.fills import fill
from framecheck.damage.probes import frame

STRICT = ("-std=c89", "-pedantic", "-Wall", "-Wextra", "-Werror")
MAIN = """
#include <stdio.h>
#include "board.c"
#include "probes.c"
static unsigned char buffer[1600];
static void receive(unsigned int n, unsigned int length)
{
    unsigned int i;
    fc_fill(buffer, sizeof buffer);
    for (i = 0; i < length; i++)
        buffer[i] = probes[n].octets[i];
}
int main(void)
{
    unsigned int n;
    for (n = 0; n < probe_count; n++) {
        printf("eth0: got one\\n");
        receive(n, probes[n].length / 24 * 24);
        fc_dump(buffer, probes[n].length);
        fc_dump_fill(buffer, probes[n].length, 0);
        fc_dump_probe(buffer, probes[n].length, probes[n].octets,
                      probes[n].length, probes[n].label);
    }
    return 0;
}
"""
LENGTHS = (63, 95, 300)
FILL = fill("odd-parity").octets(0, 1600)


def received(number: int, length: int) -> bytes:
    """What a transfer by whole multiples of 24 octets leaves in the filled buffer."""
    written = length // 24 * 24
    return frame(number, length)[:written] + FILL[written:length]


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The console log of a board that runs the code."""
    compiler = shutil.which("gcc")
    assert compiler, "the tests need gcc"
    folder: Path = tmp_path_factory.mktemp("board")
    assert run(["board", "--output", str(folder / "board.c")]) == 0
    lengths = ",".join(map(str, LENGTHS))
    options = ["--lengths", lengths, "--output", str(folder / "probes.c")]
    assert run(["probe", "build", *options]) == 0
    (folder / "main.c").write_text(MAIN)
    subprocess.run([compiler, *STRICT, "-c", "board.c"], cwd=folder, check=True)
    subprocess.run([compiler, *STRICT, "main.c", "-o", "main"], cwd=folder, check=True)
    return subprocess.run([folder / "main"], capture_output=True, check=True).stdout.decode()


def dumps(text: str) -> list:
    return list(framecheck.read(text))


def test_all_three_forms_are_read_back_whole(printed):
    wanted = [received(n, length) for n, length in enumerate(LENGTHS) for _ in range(3)]
    found = dumps(printed)
    assert [dump.octets for dump in found] == wanted
    assert [dump.doubts for dump in found] == [()] * len(wanted)
    assert [dump.doubtful for dump in found] == [()] * len(wanted)


def test_the_short_forms_are_short(printed):
    lines = printed.split("<frame ")
    plain, by_fill, by_probe = (len(part) for part in lines[-3:])
    assert by_probe < plain / 4
    assert by_fill <= plain


def test_each_octet_is_placed_where_it_is_printed(printed):
    text = printed.splitlines()
    for dump in dumps(printed):
        for at, octet in enumerate(dump.octets):
            place = dump.places.at(at)
            digits = text[place.line - 1][place.column - 1 : place.end_column - 1]
            assert digits in (f"{octet:02x}", "=")


def test_characters_add_up(printed):
    sheet = framecheck.check(printed)
    (counts,) = sheet.totals.inputs
    assert counts.digits + counts.framing + counts.skipped == counts.characters == len(printed)


def damages(text: str, rng: random.Random):
    """One character or line of the console lost, doubled or changed."""
    at = rng.randrange(len(text))
    yield "lost character", text[:at] + text[at + 1 :], at
    yield "doubled character", text[:at] + text[at] + text[at:], at
    lines = text.splitlines(keepends=True)
    line = rng.randrange(len(lines))
    start = sum(map(len, lines[:line]))
    yield "lost line", "".join(lines[:line] + lines[line + 1 :]), start
    yield "doubled line", "".join(lines[: line + 1] + lines[line:]), start
    other = rng.choice([c for c in "0123456789abcdef" if c != text[at]])
    yield "changed character", text[:at] + other + text[at + 1 :], at


@pytest.mark.parametrize("form", range(3), ids=["plain", "fill", "probe"])
def test_damage_of_the_console_is_always_noticed_and_never_a_wrong_octet(printed, form):
    parts = ["<frame " + part for part in printed.replace("\r\n", "\n").split("<frame ")[1:]]
    text = parts[6 + form].removesuffix("eth0: got one\n")
    wanted = received(2, 300)
    rng = random.Random(form)
    for _ in range(25):
        for what, broken, _at in damages(text, rng):
            found = dumps(broken)
            if text.split() == broken.split() or len(found) == 0:
                continue  # a blank more at the end of a line; or nothing is left to be wrong
            (dump,) = found[:1]
            assert len(found) == 1, what
            if dump.octets == wanted:
                assert dump.doubts, what
            else:
                assert any(doubt.decides for doubt in dump.doubts), what


def test_one_lost_digit_of_a_row_is_put_right(printed):
    text = printed.replace("\r\n", "\n")
    start = text.index("<0010 ")
    for at in range(start + 6, start + 53, 5):
        (first, *_) = dumps(text[:at] + text[at + 1 :])
        assert first.octets == received(0, 63)
        assert first.doubts
        assert not any(doubt.decides for doubt in first.doubts)
        in_octet = (at - start - 6) % 3 < 2
        assert sum(b - a for a, b in first.doubtful) == in_octet, "what was put right is doubtful"


def test_the_law_is_found_from_the_board_s_own_log_without_what_was_sent(printed):
    sheet = framecheck.check(printed, fill="odd-parity")
    assert {frame.state for frame in sheet.frames} == {"damaged"}
    residue = {frame.number: frame.residue for frame in sheet.frames}
    assert residue[1] == ((48, 63),)


def test_the_source_names_its_cautions_and_asks_for_putchar_alone():
    from framecheck.probes.board import source

    text = source()
    assert "#include" not in text
    words = " ".join(text.replace("*", " ").split())
    assert "RS-232" in words
    assert "network that you may test" in words
    assert max(map(len, text.splitlines())) <= 80
