"""Markdown: the answer first, rows unbroken in code blocks, nothing of a log acts as markup."""

from __future__ import annotations

import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from framecheck.core.sheet import InputRecord
from framecheck.reports.markdown import MARKDOWN, plain
from tests.reports.records import captured, cut, sound, unwritten, with_fcs, written
from tests.reports.test_terminal import hostile


def page(*records: Any, inputs: tuple[InputRecord, ...] = (), **options: Any) -> str:
    return written(MARKDOWN, records, *inputs, **options)


def test_the_answer_is_the_heading() -> None:
    assert page(sound(), unwritten()).startswith("## bench.log: 1 of 2 frames is damaged\n")


def test_the_row_that_is_wrong_stands_whole_with_its_marks_beneath() -> None:
    lines = page(unwritten()).splitlines()
    row = lines.index("  31  0x0140  49 4a 4b 4c 4d 4e 4f 50")
    assert lines[row + 1] == " " * 14 + "~" * 23


def test_octets_stand_in_blocks_and_reasons_below_them() -> None:
    made = page(unwritten(), captured(), cut(), with_fcs())
    assert made.count("```") == 2 * made.count("```text")
    assert "- `udp-checksum`: the UDP checksum carries f952, the octets give 4a1b" in made
    assert "- never written, still the fill: octets 0x140 to 0x147" in made


def test_sound_frames_are_rows_of_one_table() -> None:
    made = page(sound(), unwritten())
    assert "| 1 | 5-8 | 60 | ARP asks for 192.0.2.77 \\(from 192.0.2.1\\) |" in made


def test_an_input_without_a_frame_is_said() -> None:
    assert "no frame found" in page(inputs=(InputRecord("x.log", 5, 0, 0, 5),))


@pytest.mark.parametrize(
    "text",
    ["<script>", "[a](http://x.example)", "# head", "@someone", "a|b", "`code`", "&lt;", "*x*"],
)
def test_markup_of_a_log_is_escaped(text: str) -> None:
    made = plain(text)
    bare = re.sub(r"\\[!-/:-@\[-`{-~]", "", made)
    assert not re.search(r"[<>\[\]()#@|`*]", bare.replace("&#64;", "").replace("&amp;", ""))


@given(st.text(min_size=1))
def test_no_text_of_a_log_ends_a_block_or_begins_a_line(text: str) -> None:
    quiet, loud = page(hostile("x")), page(hostile(text))
    for start in ("```", "## ", "### ", "|"):
        count = [sum(line.startswith(start) for line in p.split("\n")) for p in (quiet, loud)]
        assert count[0] == count[1], start
