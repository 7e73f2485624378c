"""The demo: an orchard's log that says what the report says, offline, and clear at once."""

from __future__ import annotations

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
