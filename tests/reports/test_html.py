"""The HTML page: one file, nothing fetched, rows unbroken, text of a log never markup."""

from __future__ import annotations

import json
import re
from base64 import b64encode
from hashlib import sha256
from html import unescape
from typing import Any

import html5lib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from framecheck.core.sheet import InputRecord, Missing, Move, Repair
from framecheck.reports import _strip
from framecheck.reports.html import HTML
from framecheck.reports.markdown import MARKDOWN
from tests.reports.records import captured, cut, placed, record, sound, totals, unwritten, written
from tests.reports.test_terminal import hostile


def page(*records: Any, inputs: tuple[InputRecord, ...] = (), **options: Any) -> str:
    return written(HTML, records, *inputs, **options)


def text_of(made: str) -> str:
    """What a reader sees, markup taken out."""
    return unescape(re.sub(r"<[^>]*>", "", re.sub(r"(?s)<(style|script).*?</\1>", "", made)))


def test_the_answer_is_the_heading_and_the_title() -> None:
    made = page(sound(), unwritten())
    assert "<h1>bench.log: 1 of 2 frames is damaged</h1>" in made
    assert "<title>bench.log: 1 of 2 frames is damaged</title>" in made


def test_the_row_that_is_wrong_stands_unbroken_with_its_line() -> None:
    made = text_of(page(unwritten()))
    assert re.search(r"31 +0x140 +49 4a 4b 4c 4d 4e 4f 50\n", made)


def test_a_row_opens_the_fields_that_stand_in_it() -> None:
    made = page(unwritten())
    (row,) = re.findall(
        r'(?s)<details class="row"><summary>(?:(?!</summary>).)*f9 52.*?</details>', made
    )
    assert "udp: checksum f952" in row
    assert "ipv4: destination address 192.0.2.77" in row
    assert "ipv4: time to live" not in row


def test_nothing_is_fetched_and_the_policy_names_the_hashes_of_what_acts() -> None:
    made = page(unwritten(), sound(), captured(), cut())
    assert not re.search(
        r"(?i)\b(src|srcset|action|data|poster|background)\s*=|@import|url\(", made
    )
    assert set(re.findall(r'href="(.)', made)) == {"#"}
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', made)
    assert policy is not None
    assert policy[1].startswith("default-src 'none'; ")
    assert "unsafe" not in policy[1]
    for tag in ("style", "script"):
        (text,) = re.findall(rf"(?s)<{tag}>(.*?)</{tag}>", made)
        digest = b64encode(sha256(text.encode()).digest()).decode()
        assert f"{tag}-src 'sha256-{digest}'" in policy[1]
    assert " style=" not in made
    assert not re.search(r"\son\w+=", made)


def test_the_page_parses_without_an_error() -> None:
    moved = record(
        bytes(40),
        5,
        state="damaged",
        extra=((3, 5),),
        moves=(Move(5, 4, 3),),
        missing=(Missing(9, 2),),
        repair=Repair("a swap", bytes(40), ("udp-checksum",)),
    )
    made = page(sound(), unwritten(), captured(), cut(), moved, hostile("<b>&"))
    html5lib.HTMLParser(strict=True).parse(made)


def test_an_input_without_a_frame_is_said_and_nothing_is_drawn() -> None:
    made = page(inputs=(InputRecord("x.log", 5, 0, 0, 5),))
    assert "no frame found" in made
    assert "<svg" not in made
    html5lib.HTMLParser(strict=True).parse(made)


LAW = {
    "family": "granule",
    "parameters": {"n": 24, "lead": 0, "trail": 0},
    "says": "the transfer writes only whole multiples of 24 octets",
    "margin": 41.7,
    "certain": True,
    "holds": {"count": 5, "examples": []},
    "fails": {"count": 1, "examples": [["bench.log", 7]]},
    "untested": {"count": 0, "examples": []},
    "rivals": [{"family": "granule", "parameters": {"n": 48}, "says": "multiples of 48 octets"}],
    "next": {"length": 86, "says": "send a frame of 86 octets"},
    "workaround": "round the transfer up\nkeep the true length",
}


def test_the_law_its_rivals_and_its_counter_examples_are_told() -> None:
    end = totals([unwritten()])
    end.laws = (LAW, {**LAW, "says": "another"})
    from framecheck.core.report import ReportOptions

    made = "".join(HTML.write(iter([unwritten()]), lambda: end, ReportOptions(("bench.log",))))
    seen = text_of(made)
    for words in (
        "The transfer writes only whole multiples of 24 octets",
        "This is certain: 42 bits ahead",
        "contradicted by 1 frame (7)",
        "multiples of 48 octets",
        "send a frame of 86 octets",
        "keep the true length",
        "1 more law",
    ):
        assert words in seen
    assert '<button type="button" id="law-width" value="24">' in made
    html5lib.HTMLParser(strict=True).parse(made)


def test_the_fold_holds_states_and_no_values() -> None:
    (held,) = re.findall(r'id="states">(.*?)</script>', page(unwritten()))
    states = json.loads(held)
    assert states["frames"] == [[328, [[1, 320, 328]]]]


def test_stripes_line_up_at_the_width_of_the_law() -> None:
    frames = [_strip.Marked(n, True, ((1, n - n % 24, n),)) for n in range(100, 180, 7)]
    lefts = {
        width: {
            x
            for x, wide in re.findall(r"M([\d.]+) [\d.]+h([\d.]+)v", unwritten_path(frames, width))
        }
        for width in (23, 24)
    }
    assert lefts[24] == {"0.00"}
    assert len(lefts[23]) > 3


def unwritten_path(frames: list[_strip.Marked], width: int) -> str:
    drawing, _ = _strip.fold(frames, width)
    (path,) = re.findall(r'class="unwritten" d="([^"]*)"', drawing)
    return str(path)


def test_what_does_not_fit_is_a_row_of_the_table_or_counted(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from framecheck.reports import html

    monkeypatch.setattr(html, "MOST_IN_FULL", 10)
    monkeypatch.setattr(html, "MOST_IN_TABLE", 2)
    made = page(*(unwritten() for _ in range(5)))
    assert made.count('<article class="frame damaged"') == 1
    assert made.count("<td>damaged: DHCP offers") == 2
    assert "2 more frames not listed" in made


@given(st.text(min_size=1))
def test_any_text_of_a_log_stays_text(text: str) -> None:
    made = page(hostile(text))
    html5lib.HTMLParser(strict=True).parse(made)
    assert made.count("<script") == page(hostile("x")).count("<script")
    assert "\x00" not in made


@pytest.mark.parametrize("each", [8, 16, 32, 500])
def test_a_row_is_as_long_as_the_log_has_it(each: int) -> None:
    made = unwritten()
    octets = made.octets
    places = placed(octets, 11, each)
    long = record(octets, 2, 11, state="damaged", residue=made.residue, places=places)
    row = octets[320 // each * each :][:each].hex(" ")
    for report in (HTML, MARKDOWN):
        assert row in text_of(written(report, [long]))
