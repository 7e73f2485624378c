"""The sheet as JSON against its schema (draft 2020-12, checked by jsonschema)."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from framecheck.core.finding import Finding
from framecheck.core.frame import Doubt
from framecheck.core.sheet import InputRecord, Missing, Move, Repair
from framecheck.core.span import Span
from framecheck.reports.json import JSON, plain
from tests.reports.records import captured, cut, record, sound, unwritten, with_fcs, written

SCHEMA = json.loads(files("framecheck").joinpath("sheet.schema.json").read_text("utf-8"))
VALIDATOR = Draft202012Validator(SCHEMA)


def sheet(*records: Any, **options: Any) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(written(JSON, records, **options))
    VALIDATOR.validate(found)
    return found


def everything() -> Any:
    return record(
        bytes(range(60)),
        9,
        state="damaged",
        wrong=((1, 2), (4, 9)),
        extra=((20, 22),),
        missing=(Missing(12, 3),),
        moves=(Move(12, 48, 15),),
        doubtful=((30, 31),),
        repair=Repair("one flipped bit", b"\1\2", ("fcs",)),
        doubts=(Doubt("octet order", "high first", "low first", True, 4),),
        reference=b"\0",
    )


@pytest.mark.parametrize("make", [sound, unwritten, cut, with_fcs, captured, everything])
def test_every_kind_of_frame_keeps_to_the_schema(make: Any) -> None:
    (frame,) = sheet(make())["frames"]
    required = set(SCHEMA["$defs"]["frame"]["required"])
    assert required <= set(frame)


def test_the_schema_itself_is_one() -> None:
    Draft202012Validator.check_schema(SCHEMA)


def test_frames_stand_one_a_line_so_that_sheets_can_be_compared() -> None:
    lines = written(JSON, [sound(), cut()]).splitlines()
    numbers = [json.loads(line.rstrip(","))["number"] for line in lines[1:3]]
    assert numbers == [1, 3]


def test_the_same_frames_give_the_same_octets() -> None:
    assert written(JSON, [sound(), unwritten()]) == written(JSON, [sound(), unwritten()])


def test_a_capture_has_no_places_and_no_layout() -> None:
    (frame,) = sheet(captured())["frames"]
    assert (frame["line"], frame["column"], frame["layout"]) == (None, None, None)
    assert (frame["record"], frame["stamp"]) == (7, 1700000000.25)
    assert all(f["places"] == [] for f in frame["findings"])


def test_findings_stand_at_octets_and_at_the_lines_that_print_them() -> None:
    (frame,) = sheet(unwritten())["frames"]
    overrun = frame["findings"][1]
    assert overrun["spans"] == [[322, 323]]
    # Octet 0x142 is the third of the row behind 21 characters of prefix on the dump's 21st line.
    assert overrun["places"] == [{"line": 31, "column": 28, "end_column": 30}]


def test_an_envelope_stands_where_it_is_printed() -> None:
    (frame,) = sheet(with_fcs())["frames"]
    (fcs,) = frame["envelope"]
    assert (fcs["kind"], fcs["side"], fcs["octets"]) == ("fcs", "tail", "01020304")
    assert fcs["places"] == [{"line": 53, "column": 22 + 36, "end_column": 22 + 36 + 11}]
    assert frame["length"] == 60


def test_numbers_up_to_32_bits_are_numbers_and_longer_ones_are_hex_digits() -> None:
    (frame,) = sheet(sound())["frames"]
    fields = {f["name"]: f for layer in frame["layers"] for f in layer["fields"]}
    assert fields["type"]["value"] == 0x0806
    assert fields["destination"]["value"] == "ffffffffffff"
    assert fields["sender_protocol_address"]["value"] == 0xC0000201
    for f in fields.values():
        start, stop = f["bits"]
        assert isinstance(f["value"], int if stop - start <= 32 else str)


@given(st.integers(-(2**40), 2**70))
def test_no_number_of_a_finding_is_longer_than_32_bits(n: int) -> None:
    value = plain(n)
    assert value == n if -(2**32) <= n < 2**32 else int(value, 16) == n


def test_only_damaged_leaves_frames_out_and_still_counts_them() -> None:
    found = sheet(sound(), unwritten(), cut(), only_damaged=True)
    assert [f["number"] for f in found["frames"]] == [2]
    assert found["tally"]["frames"] == 3


def test_a_sheet_without_frames_cannot_tell() -> None:
    found = json.loads(written(JSON, [], InputRecord("a.log", 3, 0, 0, 3, 0)))
    VALIDATOR.validate(found)
    assert (found["frames"], found["verdict"]) == ([], "cannot tell")


def test_an_input_keeps_its_doubts_and_its_error() -> None:
    doubt = Doubt("a line", "chatter", "octets", line=3)
    i = InputRecord("a.log", 9, 4, 3, 2, 1, (doubt,), "a.log: it broke off; try again")
    found = json.loads(written(JSON, [sound()], i))
    VALIDATOR.validate(found)
    assert found["inputs"][0]["error"] == i.error
    assert found["inputs"][0]["doubts"][0]["other"] == "octets"


@given(st.text())
def test_no_character_of_a_log_is_in_a_sheet_but_plain_ascii(text: str) -> None:
    hostile = Finding("a-rule", "forbidden", None, (Span(0, 8),), text, text.encode(), text, text)
    made = record(b"\0" * 20, findings=(hostile,), summary=text, dump={"stamp": text})
    said = written(JSON, [made])
    assert said.replace("\n", "").isascii()
    assert said.replace("\n", "").isprintable()
    assert json.loads(said)["frames"][0]["summary"] == text
