"""Where the buffer lies: phases of lines and words in memory (an address plus an offset)."""

import json
from pathlib import Path

import pytest

from framecheck.cli import run
from framecheck.core.address import address
from framecheck.core.problem import Problem
from framecheck.damage import fill
from framecheck.laws.infer import infer
from tests.laws import faults
from tests.laws.faults import SWEEP, Fault, granule, observed, swapped
from tests.laws.test_command import written

ODD = fill("odd-parity")


@pytest.mark.parametrize(
    ("fault", "there", "said"),
    [
        (granule(16, lead=2), 0x1002, "where octet 0 lies at 2 mod 16, the edges are multiples"),
        (granule(16, lead=2), 0x1000, "the edges are no multiples of 16"),
        (granule(16), 0x20, "the edges are multiples of 16"),
        (granule(24), 0x1002, ""),  # memory has no lines of 24
        (faults.stale(32, 30), 0x2002, "in memory these lines start at multiples of 32"),
        (faults.stale(32, 30), 0x2000, "lines of memory start at octets 0 mod 32"),
        (faults.odd_lanes, 0x3001, "in memory those lie at 0 mod 2"),
        (swapped(4), 0x1002, "words begin elsewhere"),
        (swapped(4), 0x1004, "these are the words of memory"),
        (lambda t, _: t[:-2], 0x1000, ""),
    ],
)
def test_the_address_gives_a_phase_its_meaning(fault: Fault, there: int, said: str) -> None:
    plain = infer(observed(SWEEP, fault), ODD).laws[0]
    placed = infer(observed(SWEEP, fault), ODD, there).laws[0]

    assert placed["parameters"] == plain["parameters"]
    assert placed["certain"] == plain["certain"]
    assert "memory" not in plain["says"]
    assert said in placed["says"]
    assert ("memory" in placed["says"]) == bool(said)


@pytest.mark.parametrize(
    ("text", "value"), [("0x20001002", 0x20001002), ("0XfF", 255), ("4096", 4096), (None, None)]
)
def test_an_address_is_hex_or_decimal(text: str | None, value: int | None) -> None:
    assert address(text) == value


@pytest.mark.parametrize(
    "text", ["", "abc", "0x", "-4", "0x1_0", " 4", "1e3", "0x" + "f" * 17, "9" * 20, "a\x1b[2J"]
)
def test_what_is_no_address_is_said_in_one_line(
    text: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(Problem, match="0x20001002"):
        address(text)
    monkeypatch.chdir(tmp_path)
    written(tmp_path, [60, 98], granule(16))
    assert run(["law", "bench.log", "--buffer-address", text]) == 2
    said = capsys.readouterr()
    assert not said.out
    assert said.err.count("\n") == 1
    assert "\x1b" not in said.err


def test_the_command_says_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    written(tmp_path, [60, 98, 342, 86, 131, 77], granule(16))
    options = ["--sent", "sent.pcap", "--fill", "letters", "--report", "json"]
    assert run(["law", "bench.log", *options, "--buffer-address", "0x1000"]) == 1
    first = json.loads(capsys.readouterr().out)["laws"][0]
    assert "where octet 0 lies at 0 mod 16" in first["says"]


def test_the_fold_begins_its_rows_where_the_law_begins_to_count(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    written(tmp_path, [60, 98, 342, 86, 131, 77], granule(16, lead=6))
    run(["law", "bench.log", "--sent", "sent.pcap", "--fill", "letters"])
    rows = [r for r in capsys.readouterr().out.splitlines() if r.lstrip().startswith("0x")]
    # Of 60 octets behind 6, whole multiples of 16 end at octet 58.
    assert rows[:3] == [
        "     0x0        " + "=" * 26,
        "    0x1a  " + "=" * 32,
        "    0x3a  ~~",
    ]
