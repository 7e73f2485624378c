"""JUnit XML: a test case a frame, counts that agree with the cases, text that XML may hold."""

from __future__ import annotations

from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from framecheck.cli import _orchard
from framecheck.core.frame import Doubt
from framecheck.core.sheet import InputRecord, Missing
from framecheck.reports.junit import JUNIT
from tests.reports.records import cut, record, sound, unwritten, written
from tests.reports.test_terminal import hostile


def suites(*records: Any, inputs: tuple[InputRecord, ...] = (), **options: Any) -> list[Any]:
    root = ElementTree.fromstring(written(JUNIT, records, *inputs, **options))
    assert root.tag == "testsuites"
    return list(root)


def test_each_frame_is_a_case_and_each_suite_states_its_counts() -> None:
    (suite,) = suites(sound(), unwritten(), cut())
    cases = suite.findall("testcase")
    assert [len(c.findall("failure")) for c in cases] == [0, 1, 0]
    assert [len(c.findall("error")) for c in cases] == [0, 0, 1]
    counts = {k: int(suite.get(k)) for k in ("tests", "failures", "errors")}
    assert counts == {"tests": 3, "failures": 1, "errors": 1}


def test_a_failure_names_the_line_the_rule_and_shows_the_octets_with_their_marks() -> None:
    (suite,) = suites(unwritten())
    case = suite.find("testcase")
    assert case.get("name") == ("lines 11-31: frame 2: DHCP offers 192.0.2.77 to 00:00:5e:00:53:07")
    (failure,) = case
    assert failure.get("type") == "udp-checksum"
    lines = failure.text.splitlines()
    row = next(i for i, line in enumerate(lines) if "49 4a 4b 4c 4d 4e 4f 50" in line)
    assert lines[row].split()[:2] == ["31", "0x0140"]
    assert lines[row + 1].strip() == "~" * 23


def test_inputs_have_a_suite_each_also_when_their_frames_come_in_turns() -> None:
    other = record(_orchard.asks(), input="other.log")
    found = suites(sound(), other, unwritten())
    assert [(s.get("name"), len(s.findall("testcase"))) for s in found] == [
        ("bench.log", 2),
        ("other.log", 1),
    ]


def test_an_input_that_could_not_be_read_is_an_error() -> None:
    unread = InputRecord("x.log", error="x.log: there is no such file; check the path")
    (suite,) = suites(inputs=(unread,))
    assert (suite.get("tests"), suite.get("errors")) == ("1", "1")
    assert "no such file" in suite.find("testcase/error").get("message")


def test_an_input_without_a_frame_is_an_error() -> None:
    (suite,) = suites(inputs=(InputRecord("x.log", 5, 0, 0, 5),))
    assert "no frame found" in suite.find("testcase/error").get("message")


def test_a_frame_that_could_not_be_checked_says_why() -> None:
    doubt = Doubt("where it starts", "here", "there", True)
    (suite,) = suites(record(bytes(40), state="cannot tell", doubts=(doubt,)))
    message = suite.find("testcase/error").get("message")
    assert message == "could not be checked: where it starts: taken as here; could be there"


def test_missing_and_wrong_octets_alone_are_a_failure_with_words() -> None:
    (suite,) = suites(
        record(bytes(40), state="damaged", missing=(Missing(7, 2),)),
        record(bytes(40), 2, state="damaged", wrong=((7, 9),)),
    )
    messages = [f.get("message") for f in suite.iter("failure")]
    assert messages == ["damaged: octets are missing", "damaged: octets 0x7 to 0x8"]
    assert "2 octets are missing in front of octet 0x7" in suite.find("testcase/failure").text


@given(st.text(min_size=1))
def test_any_text_of_a_log_gives_xml_that_parses(text: str) -> None:
    (suite,) = suites(hostile(text))
    assert suite.get("failures") == "1"


def test_markup_of_a_log_stays_text() -> None:
    (suite,) = suites(hostile('</failure><evil a="b">&amp;'))
    assert [e.tag for e in suite.find("testcase").iter()] == ["testcase", "failure"]


def test_the_time_of_the_run_can_be_fixed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "86400")
    (suite,) = suites(sound())
    assert suite.get("timestamp") == "1970-01-02T00:00:00"
