"""The demo: an orchard's log that says what the report says, offline, and clear at once."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path

import dpkt
import pytest

from framecheck.cli import _orchard, run


def test_the_demo_shows_the_log_the_check_and_what_to_do(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["demo"]) == 0
    out = capsys.readouterr().out
    in_order = [
        "frost alarm asks for an address",
        "dhcp: discover sent, attempt 1",
        "$ framecheck check orchard.log --fill letters",
        "orchard.log: 2 of 4 frames are damaged",
        "never written, still the fill: octets 0x140 to 0x147",
        "What to do next",
        "RS-232",
        "local codes",
    ]
    places = [out.find(words) for words in in_order]
    assert -1 not in places
    assert places == sorted(places)
    assert max(map(len, out.splitlines())) <= 80


def test_the_log_can_be_kept_and_checked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(["demo", "--keep", "orchard.log"]) == 0
    shown = capsys.readouterr().out
    assert run(["check", "orchard.log", "--fill", "letters"]) == 1
    assert capsys.readouterr().out in shown


def test_the_frames_are_what_dpkt_takes_them_for() -> None:
    frame = dpkt.ethernet.Ethernet(_orchard.offer(0x5EED0001))
    assert isinstance(frame.data, dpkt.ip.IP)
    carried = frame.data.sum, frame.data.data.sum
    frame.data.sum = frame.data.data.sum = 0  # dpkt works both out again
    again = dpkt.ip.IP(bytes(frame.data))
    assert (again.sum, again.data.sum) == carried
    dhcp = dpkt.dhcp.DHCP(frame.data.data.data)
    assert dhcp.yiaddr == int.from_bytes(_orchard.OFFERED, "big")
    assert dict(dhcp.opts)[53] == b"\x02"
    asks = dpkt.ethernet.Ethernet(_orchard.asks())
    assert (asks.data.op, asks.data.tpa) == (1, _orchard.OFFERED)


def test_only_what_is_behind_the_last_whole_burst_was_not_written() -> None:
    sent = _orchard.offer(0x5EED0002)
    got = _orchard.received(sent)
    assert len(sent) % _orchard.BURST == 8
    assert got[:-8] == sent[:-8]
    assert got[-8:] == b"IJKLMNOP"
    assert _orchard.received(_orchard.asks()) == _orchard.asks()


def test_the_whole_scenario_is_written_and_its_story_holds(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(["demo", "--output", "story"]) == 0
    told = capsys.readouterr().out.splitlines()[1:]
    assert {line.split()[0] for line in told} == {p.name for p in (tmp_path / "story").iterdir()}
    story = {p.name: p.read_bytes() for p in (tmp_path / "story").iterdir()}
    assert b"2 of 4 frames are damaged" in story["orchard.txt"]
    assert b"sent   01 06 04 c0 00 02 01 ff" in story["compared.txt"]
    assert b"whole multiples of 64 octets" in story["law.txt"]
    assert b'id="law-width" value="64"' in story["law.html"]
    assert b'"dhcp ack" = 1' in story["board.toml"]
    sent = [octets for _, octets in dpkt.pcap.Reader(io.BytesIO(story["sent.pcap"]))]
    assert sent == _orchard.sent()
    must = ["check", "--require", "story/board.toml"]
    assert run([*must, "story/mended.log"]) == 0
    assert run([*must, "--fill", "letters", "story/orchard.log"]) == 1


def test_the_recipe_checks_a_folder_and_leaves_three_reports(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(["demo", "--output", "."]) == 0
    (tmp_path / "logs").mkdir()
    tools = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    for log, code in (("mended.log", 0), ("orchard.log", 1)):
        (tmp_path / "logs" / log).write_bytes((tmp_path / log).read_bytes())
        done = subprocess.run(
            ["sh", "ci.sh", "logs", "out"], env={**os.environ, "PATH": tools}, timeout=120
        )
        assert done.returncode == code
        made = {p.name for p in (tmp_path / "out").iterdir()}
        assert made == {"framecheck.xml", "framecheck.sarif", "framecheck.html"}


def test_a_folder_that_cannot_be_made_is_one_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").touch()
    assert run(["demo", "--output", str(tmp_path / "file")]) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    assert "cannot be made a folder" in err
