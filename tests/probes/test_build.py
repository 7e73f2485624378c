"""Probes as files: the same frames in each form, read back by others and by the tool itself."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import dpkt
import pytest

import framecheck
from framecheck.cli import run
from framecheck.damage.probes import KINDS, SWEEP, told

STRICT = ("-std=c89", "-pedantic", "-Wall", "-Wextra", "-Werror")
PRINTS = """
#include <stdio.h>
#include "probes.c"
int main(void)
{
    unsigned int n, i;
    for (n = 0; n < probe_count; n++) {
        for (i = 0; i < probes[n].length; i++)
            printf("%02x", probes[n].octets[i]);
        printf("\\n");
    }
    return 0;
}
"""


def built(path: Path, *options: str) -> Path:
    assert run(["probe", "build", "--output", str(path), *options]) == 0
    return path


def wanted(capsys: pytest.CaptureFixture[str], *options: str) -> list[bytes]:
    capsys.readouterr()
    assert run(["probe", "build", "--report", "json", *options]) == 0
    value = json.loads(capsys.readouterr().out)
    assert value["format"] == "framecheck-probes"
    assert "network that you may test" in value["caution"]
    return [bytes.fromhex(f["octets"]) for f in value["frames"]]


@pytest.mark.parametrize("kind", KINDS)
def test_all_forms_hold_the_same_frames(kind, tmp_path, capsys):
    options = ("--kind", kind, "--host", "mac=02:00:5e:00:53:11,ip=198.51.100.7", "--sweep")
    sent = wanted(capsys, *options)
    assert [len(octets) for octets in sent] == list(SWEEP)
    assert {octets[:6] for octets in sent} == {bytes.fromhex("02005e005311")}

    with built(tmp_path / "probes.pcap", *options).open("rb") as file:
        assert [octets for _, octets in dpkt.pcap.Reader(file)] == sent

    for name in ("probes.txt", "probes.c"):
        text = built(tmp_path / name, *options).read_text()
        sheet = framecheck.check(text)
        assert [frame.octets for frame in sheet.frames] == sent
        assert {frame.state for frame in sheet.frames} == {"sound"}
        assert sheet.verdict == "sound"
        assert [frame.frame.envelopes for frame in sheet.frames] == [()] * len(sent)


def test_the_array_goes_through_a_compiler_and_back(tmp_path, capsys):
    compiler = shutil.which("gcc")
    assert compiler, "the tests need gcc"
    options = ("--lengths", "60,63,1514", "--kind", "udp")
    built(tmp_path / "probes.c", *options)
    (tmp_path / "main.c").write_text(PRINTS)
    subprocess.run([compiler, *STRICT, "main.c", "-o", "main"], cwd=tmp_path, check=True)
    out = subprocess.run([tmp_path / "main"], capture_output=True, check=True, text=True).stdout
    assert [bytes.fromhex(line) for line in out.split()] == wanted(capsys, *options)


def test_without_options_the_opening_is_built(capsys):
    assert [len(octets) for octets in wanted(capsys)] == [63, 78, 95]


def test_numbers_go_on_over_repetitions(capsys):
    sent = wanted(capsys, "--lengths", "63,78", "--repeat", "2")
    assert [len(octets) for octets in sent] == [63, 78, 63, 78]
    assert len(set(sent)) == 4
    assert [told(octets) for octets in sent] == sent


def test_the_terminal_shows_a_hex_log_that_is_read_back(capsys):
    assert run(["probe", "build", "--lengths", "63"]) == 0
    text = capsys.readouterr().out
    assert "network that you may test" in text
    (frame,) = framecheck.check(text).frames
    assert told(frame.octets) == frame.octets
