"""Requirements: what a file wants, what a run holds, and one clear line for each mistake."""

from __future__ import annotations

import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from framecheck.cli import _orchard, run
from framecheck.core.problem import Problem
from framecheck.requirements import Requirements, draft, kinds_of, read
from framecheck.run import Settings, Text, check_inputs
from tests.reports.records import sound, unwritten

TODAY = date(2027, 1, 15)
SOUND = "".join(
    f"{at:04x}: {frame[at : at + 16].hex(' ')}\n"
    for frame in (_orchard.asks(), _orchard.offer(7))
    for at in range(0, len(frame), 16)
)


def file(tmp_path: Path, text: str) -> str:
    path = tmp_path / "board.toml"
    path.write_text(text)
    return str(path)


def judged(tmp_path: Path, text: str, *records: Any, laws: Any = ()) -> dict[str, dict[str, Any]]:
    from framecheck.core.sheet import Tally

    held, tally = Requirements(read(file(tmp_path, text)), TODAY), Tally()
    for record in records:
        tally.count(record)
        held.see(record)
    return {r["name"]: r for r in held.judged(tally, laws)}


def failed(found: dict[str, dict[str, Any]]) -> set[str]:
    return {name for name, r in found.items() if not r["held"]}


def test_a_frame_is_of_the_kinds_of_its_layers_and_messages() -> None:
    assert kinds_of(sound()) == ("ethernet", "arp", "arp request")
    assert kinds_of(unwritten())[-2:] == ("dhcp", "dhcp offer")


def test_what_a_good_log_gives_it_holds_itself(tmp_path: Path) -> None:
    frames = list(check_inputs([Text("x", SOUND)]))
    text = draft(frames)
    assert set(tomllib.loads(text)["seen"]) >= {"arp request", "dhcp offer"}
    checked = check_inputs([Text("x", SOUND)], Settings(require=file(tmp_path, text)))
    assert len(list(checked)) == 2
    totals = checked.totals()
    assert totals.unheld == ()
    assert totals.exit_code == 0


def test_an_empty_file_wants_a_frame_and_no_damage(tmp_path: Path) -> None:
    assert failed(judged(tmp_path, "", sound())) == set()
    assert failed(judged(tmp_path, "", sound(), unwritten())) == {"frames.damaged"}
    assert "frames.at_least" in failed(judged(tmp_path, ""))


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("[frames]\nat_least = 3", "frames.at_least"),
        ("[frames]\nshortest = 59", "frames.shortest"),
        ("[frames]\nlongest = 61", "frames.longest"),
        ('[seen]\n"dhcp ack" = 1', "seen.dhcp ack"),
        ("[seen]\narp = 2", "seen.arp"),
    ],
)
def test_each_wish_can_fail_and_says_both_numbers(tmp_path: Path, text: str, name: str) -> None:
    found = judged(tmp_path, text, sound())
    assert failed(found) == {name}
    one = found[name]
    assert str(one["wanted"]) in one["says"]
    assert str(one["seen"]) in one["says"]


ALLOW = '[[allow]]\nrule = "{}"\nreason = "known"\nuntil = {}\n'


def test_an_allowed_rule_damages_nothing_until_its_day(tmp_path: Path) -> None:
    made = unwritten()
    made.residue = ()
    made.findings = made.findings[:1]
    until = ALLOW.format("udp-checksum", "2027-02-01") + '[seen]\n"dhcp offer" = 1\n'
    assert failed(judged(tmp_path, until, made)) == set()
    over = ALLOW.format("udp-checksum", "2027-01-14")
    assert failed(judged(tmp_path, over, made)) == {"frames.damaged", "allow.udp-checksum"}
    other = ALLOW.format("udp-length", "2027-02-01")
    assert "frames.damaged" in failed(judged(tmp_path, other, made))


def test_an_allowed_rule_does_not_excuse_octets_that_were_never_written(tmp_path: Path) -> None:
    text = ALLOW.format("udp-checksum", "2027-02-01")
    assert "frames.damaged" in failed(judged(tmp_path, text, unwritten()))


def test_a_raised_rule_fails_however_light_it_is(tmp_path: Path) -> None:
    made = sound()
    (note,) = unwritten().findings[:1]
    made.findings = (note._replace(rule="padding-not-zero", certainty="unusual"),)
    text = ALLOW.format("padding-not-zero", "2027-02-01").replace("allow", "raise")
    assert failed(judged(tmp_path, text, made)) == {"raise.padding-not-zero"}
    assert failed(judged(tmp_path, text, sound())) == set()


LAW = {"family": "granule", "parameters": {"n": 24, "lead": 0}, "fails": {"count": 0}}
TOLERATE = (
    '[[tolerate]]\nfamily = "granule"\nparameters = {{ n = {} }}\nreason = "known"\n'
    "until = 2027-02-01\n"
)


def test_a_known_law_is_tolerated_and_no_other(tmp_path: Path) -> None:
    known = TOLERATE.format(24)
    assert failed(judged(tmp_path, known, unwritten(), laws=(LAW,))) == set()
    assert failed(judged(tmp_path, known, unwritten())) == {"frames.damaged"}
    other = TOLERATE.format(16)
    assert failed(judged(tmp_path, other, unwritten(), laws=(LAW,))) == {"frames.damaged"}
    contradicted = {**LAW, "fails": {"count": 1}}
    assert failed(judged(tmp_path, known, unwritten(), laws=(contradicted,))) == {"frames.damaged"}


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[framez]\nat_least = 1", "line 1: has no key framez; did you mean frames?"),
        (
            "[frames]\n\nat_leest = 1",
            "line 3: [frames] has no key at_leest; did you mean at_least?",
        ),
        ("[frames]\nat_least = -1", "line 2: at_least is a whole number, not -1"),
        ("[frames]\nat_least = true", "at_least is a whole number, not True"),
        ("frames = 3", "line 1: frames is a table: write [frames]"),
        ("[seen]\ndhpc = 1", "line 2: [seen] no layer dhpc; did you mean dhcp?"),
        ("version = 9", "version is 1 in this framecheck"),
        ("allow = 1", "allow is a list of tables: write [[allow]]"),
        (ALLOW.format("udp-checksun", "2027-01-01"), "did you mean udp-checksum?"),
        ('[[allow]]\nrule = "udp-checksum"\n', '[[allow]] wants reason = "…"'),
        (ALLOW.format("udp-checksum", '"soon"'), "wants a day: until = 2027-03-31"),
        ("[frames", "is no TOML"),
        ("\x00", "is no TOML"),
    ],
)
def test_a_mistake_is_one_line_with_its_place(
    tmp_path: Path, text: str, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = file(tmp_path, text)
    (tmp_path / "x.log").write_text(SOUND)
    assert run(["check", "--require", path, str(tmp_path / "x.log")]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    assert f"--require {path}" in err
    assert says in err


def test_an_absent_file_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check", "--require", "absent.toml", "x.log"]) == 2
    assert "--require absent.toml: there is no such file" in capsys.readouterr().err


@given(text=st.text())
def test_any_text_is_requirements_or_one_line(
    text: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    path = tmp_path_factory.getbasetemp() / "any.toml"
    path.write_text(text, encoding="utf-8", errors="surrogatepass")
    try:
        assert read(str(path)).name == str(path)
    except Problem as problem:
        said = str(problem)
        assert "\n" not in said


def test_the_sheet_states_each_requirement(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    import json

    import jsonschema

    (tmp_path / "x.log").write_text(SOUND)
    path = file(tmp_path, '[seen]\n"dhcp ack" = 1\n')
    log = str(tmp_path / "x.log")
    assert run(["check", "--require", path, "--report", "json", log]) == 1
    sheet = json.loads(capsys.readouterr().out)
    schema = Path(__file__).parents[2] / "framecheck/sheet.schema.json"
    jsonschema.validate(sheet, json.loads(schema.read_text()))
    (one,) = [r for r in sheet["requirements"] if not r["held"]]
    assert set(one) == {"name", "wanted", "seen", "held", "says"}
    assert sheet["verdict"] == "sound"
    for report, words in (
        ("terminal", "at least 1 sound dhcp ack: 0 seen"),
        ("markdown", "- at least 1 sound dhcp ack: 0 seen"),
        ("html", "at least 1 sound dhcp ack: 0 seen"),
        ("junit", '<testcase classname="requirements" name="seen.dhcp ack" time="0">\n<failure'),
        ("sarif", "not held: at least 1 sound dhcp ack: 0 seen"),
    ):
        assert run(["check", "--require", path, "--report", report, log]) == 1
        assert words in capsys.readouterr().out


def test_require_writes_from_a_good_log_and_refuses_a_damaged_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "x.log").write_text(SOUND)
    (tmp_path / "bad.log").write_text(_orchard.log())
    made = tmp_path / "board.toml"
    assert run(["require", str(tmp_path / "x.log"), "--output", str(made)]) == 0
    assert run(["check", "--require", str(made), str(tmp_path / "x.log")]) == 0
    made.unlink()
    assert run(["require", str(tmp_path / "bad.log"), "--output", str(made)]) == 1
    assert "write requirements from a log that is sound" in capsys.readouterr().err
    assert not made.exists()
