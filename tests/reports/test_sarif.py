"""SARIF: results at the characters, rules declared, fingerprints that outlive moved lines."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from framecheck.core.sheet import InputRecord, Missing
from framecheck.core.text import Places, Row
from framecheck.judging import all_rules
from framecheck.reports.sarif import SARIF, uri
from tests.reports.records import captured, cut, record, sound, unwritten, written
from tests.reports.test_terminal import hostile


def log(*records: Any, inputs: tuple[InputRecord, ...] = (), **options: Any) -> Any:
    (found,) = json.loads(written(SARIF, records, *inputs, **options))["runs"]
    return found


def test_a_failing_sum_is_an_error_at_its_field_and_names_what_it_covers() -> None:
    first = log(unwritten())["results"][0]
    assert (first["ruleId"], first["level"]) == ("udp-checksum", "error")
    (location,) = first["locations"]
    region = location["physicalLocation"]["region"]
    # Octets 40 and 41: row 2 of a dump that begins at line 11, behind 21 characters of prefix.
    wanted = {"startLine": 13, "startColumn": 46, "endLine": 13, "endColumn": 51}
    assert region == wanted
    related = {p["physicalLocation"]["region"]["startLine"] for p in first["relatedLocations"]}
    assert related == set(range(12, 32))


def test_octets_that_no_rule_names_have_results_of_their_own() -> None:
    results = log(unwritten(), record(bytes(40), 3, missing=(Missing(7, 2),), state="damaged"))
    said = {r["ruleId"]: r["message"]["text"] for r in results["results"]}
    assert "octets 0x140 to 0x147" in said["octets-unwritten"]
    assert "2 octets are missing in front of 0x7" in said["octets-missing"]


def test_every_rule_that_is_named_is_declared_with_the_words_of_explain() -> None:
    found = log(unwritten(), cut())
    declared = {r["id"]: r for r in found["tool"]["driver"]["rules"]}
    assert {r["ruleId"] for r in found["results"]} == set(declared)
    what = next(r.what for r in all_rules() if r.name == "udp-checksum")
    assert declared["udp-checksum"]["shortDescription"]["text"] == what


def test_only_a_damaged_frame_has_errors() -> None:
    made = unwritten()
    made.state = "cannot tell"
    levels = {r["level"] for r in log(made, cut(), sound())["results"]}
    assert levels <= {"warning", "note"}


def test_a_fingerprint_stays_when_lines_move_and_differs_for_another_frame() -> None:
    def prints(line: int, octets: bytes) -> list[str]:
        made = record(octets, 1, line, state="damaged", wrong=((3, 5),))
        return [r["partialFingerprints"]["octets/v1"] for r in log(made)["results"]]

    assert prints(1, bytes(40)) == prints(900, bytes(40)) != prints(1, bytes(41))


def test_two_results_alike_have_two_fingerprints() -> None:
    results = log(unwritten(), unwritten())["results"]
    prints = [r["partialFingerprints"]["octets/v1"] for r in results]
    assert len(set(prints)) == len(prints)


def test_a_line_that_only_says_as_above_is_no_place() -> None:
    rows = [Row(1, 0, [1, 4], [3, 6]), Row(2, 2, [1, 1], [2, 2])]
    made = record(bytes(4), state="damaged", wrong=((0, 4),), places=Places(rows))
    (result,) = log(made)["results"]
    lines = [
        p["physicalLocation"]["region"]["startLine"]
        for p in (*result["locations"], *result.get("relatedLocations", ()))
    ]
    assert lines == [1]


def test_a_record_of_a_capture_is_named_by_its_number() -> None:
    for result in log(captured())["results"]:
        (location,) = result["locations"]
        assert "region" not in location["physicalLocation"]
        assert location["logicalLocations"] == [{"name": "record 7", "kind": "element"}]


def test_an_input_that_could_not_be_read_is_a_notification() -> None:
    unread = InputRecord("x.log", error="x.log: there is no such file; check the path")
    (invocation,) = log(inputs=(unread,))["invocations"]
    assert (invocation["executionSuccessful"], invocation["exitCode"]) == (False, 2)
    (note,) = invocation["toolExecutionNotifications"]
    assert (note["level"], note["message"]["text"]) == ("error", unread.error)


@pytest.mark.parametrize(
    ("name", "wanted"),
    [
        ("logs/bench 1.log", "logs/bench%201.log"),
        ("/var/log/a#b.log", "file:///var/log/a%23b.log"),
        ("-", "standard-input"),
        ("https://bench.example/a.log", "https://bench.example/a.log"),
        ("caf\xe9.log", "caf%C3%A9.log"),
    ],
)
def test_a_name_becomes_a_reference_of_rfc_3986(name: str, wanted: str) -> None:
    assert uri(name) == wanted


@given(st.text(min_size=1))
def test_any_text_of_a_log_stays_one_string_of_ascii(text: str) -> None:
    made = written(SARIF, [hostile(text)])
    assert made.isascii()
    assert json.loads(made)["runs"][0]["results"]
