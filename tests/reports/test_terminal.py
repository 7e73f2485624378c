"""The report for a person: what it says first, what it marks, and that nothing of a log acts."""

from __future__ import annotations

import re
import unicodedata
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from framecheck.cli import _orchard
from framecheck.core.finding import Finding, Verdict
from framecheck.core.frame import Doubt
from framecheck.core.sheet import Fate, FrameRecord, InputRecord, Missing, Move, Repair
from framecheck.core.span import Span
from framecheck.core.text import Places, Row
from framecheck.reports._page import columns, wrap
from framecheck.reports.html import HTML
from framecheck.reports.junit import JUNIT
from framecheck.reports.markdown import MARKDOWN
from framecheck.reports.terminal import TERMINAL
from tests.reports.records import (
    captured,
    cut,
    placed,
    record,
    sound,
    totals,
    unwritten,
    with_fcs,
    written,
)
from tests.reports.rewrite import GOLDEN, PAGES, page

KINDS = [sound, unwritten, cut, with_fcs, captured]


def said(*records: FrameRecord, **options: Any) -> str:
    return written(TERMINAL, records, **options)


def hostile(text: str) -> FrameRecord:
    """A frame in which everything that could come from a log is ``text``."""
    finding = Finding("a-rule", "forbidden", None, (Span(8, 24),), text, text, text, text)
    verdict = Verdict("udp-checksum", "mismatch", 1, 2, Span(80, 96), (), text)
    return record(
        bytes(40),
        state="damaged",
        findings=(finding,),
        verdicts=(verdict,),
        summary=text,
        input=text,
        fate=Fate("dropped", "port", "a-rule", (text,)),
        doubts=(Doubt(text, text, text, True, 3),),
    )


@pytest.mark.parametrize("name", PAGES)
def test_the_page_is_the_one_that_was_agreed_on(name: str) -> None:
    assert page(name) == (GOLDEN / f"{name}.txt").read_text()


def test_the_answer_stands_in_the_first_line() -> None:
    assert said(sound(), unwritten()).startswith("bench.log: 1 of 2 frames is damaged\n")
    assert said(sound()).startswith("bench.log: the only frame is sound\n")
    assert said(sound(), sound()).startswith("bench.log: both frames are sound\n")
    assert said(cut()).startswith("bench.log: the only frame is cut off by the end of the log\n")


def test_several_inputs_have_an_answer_each() -> None:
    other = record(_orchard.asks(), input="other.log")
    first = said(unwritten(), other).splitlines()[:3]
    assert first == [
        "2 inputs: 1 of 2 frames is damaged",
        "  bench.log: the only frame is damaged",
        "  other.log: the only frame is sound",
    ]


def test_the_marks_stand_under_the_octets_that_were_never_written() -> None:
    lines = said(unwritten()).splitlines()
    row = next(i for i, line in enumerate(lines) if line.startswith("    31   0x140   "))
    start = lines[row].index("49 4a")
    assert lines[row + 1] == " " * start + "~" * len("49 4a 4b 4c 4d 4e 4f 50")
    assert "never written, still the fill: octets 0x140 to 0x147" in lines[row + 2]


def test_a_sound_frame_takes_one_line() -> None:
    lines = said(sound(), sound()).splitlines()
    assert sum("ARP asks for 192.0.2.77" in line for line in lines) == 2
    assert len(lines) == 5


def test_octets_that_differ_from_what_was_sent_show_what_was_sent() -> None:
    octets = _orchard.asks()
    broken = bytes((*octets[:40], 0xEE, *octets[41:]))
    made = record(broken, state="damaged", wrong=((40, 41),), reference=octets)
    lines = said(made).splitlines()
    at = next(i for i, line in enumerate(lines) if " ee " in line)
    start = lines[at].index("ee")
    assert lines[at + 1].rstrip() == " " * start + "^^"
    assert lines[at + 2][start:] == f"{octets[40]:02x}"
    assert lines[at + 2].split()[0] == "sent"


def test_octets_that_are_missing_are_marked_where_they_should_stand() -> None:
    made = record(bytes(60), state="damaged", missing=(Missing(20, 3), Missing(60, 1)))
    text = said(made)
    assert "|   3 octets that were sent are missing in front of 0x14" in text
    lines = text.splitlines()
    at = next(i for i, line in enumerate(lines) if "0x010" in line)
    assert lines[at + 1].index("|") == lines[at].index("00 00") + 4 * 3 - 1
    last = next(i for i, line in enumerate(lines) if "0x030" in line)
    assert lines[last + 1].index("|") == len(lines[last])


def test_words_are_shown_in_the_order_in_which_the_log_prints_them() -> None:
    # A log of 16-bit words, low octet first: octet 1 is printed before octet 0.
    row = Row(7, 0, [3, 1, 8, 6], [5, 3, 10, 8])
    made = record(b"\x01\x02\x03\x04", places=Places([row]), state="damaged", wrong=((0, 1),))
    lines = said(made).splitlines()
    at = next(i for i, line in enumerate(lines) if line.startswith("     7"))
    assert lines[at].endswith("   0201 0403")
    assert lines[at + 1].rstrip().endswith("^^")
    assert lines[at + 1].index("^^") == lines[at].index("0201") + 2


def test_one_long_line_is_shown_in_pieces_with_its_columns() -> None:
    octets = bytes(342)
    columns_ = [9 + 2 * k for k in range(342)]
    row = Row(5, 0, columns_, [c + 2 for c in columns_])
    made = record(octets, places=Places([row]), state="damaged", wrong=((170, 171),))
    lines = said(made).splitlines()
    assert any(line.startswith("  5:329   0x0a0   00 00") for line in lines)
    assert max(map(len, lines)) <= 80


def test_a_repeat_marker_is_shown_as_one_row() -> None:
    rows = [
        Row(3, 0, [1 + 3 * k for k in range(16)], [3 + 3 * k for k in range(16)]),
        Row(4, 16, [1] * 32, [2] * 32),
        Row(5, 48, [1], [3]),
    ]
    made = record(bytes(49), places=Places(rows), state="damaged", wrong=((48, 49),))
    assert "     4   0x010   * the row above again, 32 octets" in said(made).splitlines()


def test_octets_that_were_not_printed_are_no_row_above() -> None:
    rows = [Row(3, 0, [1] * 48, [2] * 48), Row(4, 48, [1], [3])]
    made = record(bytes(range(49)), places=Places(rows), state="damaged", wrong=((48, 49),))
    wanted = "     3   0x000   * 48 octets, not printed: those of the fill or the probe"
    assert wanted in said(made).splitlines()


def test_many_marked_rows_are_told_not_shown() -> None:
    made = record(bytes(1500), state="damaged", residue=((16, 1500),))
    text = said(made)
    assert "octets not shown" in text
    assert len(text.splitlines()) < 40
    assert len(said(made, show_all=True).splitlines()) > 180


def test_notes_on_sound_frames_are_counted_and_shown_on_demand() -> None:
    note = Finding("a-note", "unusual", None, (Span(0, 8),), 1, 2, "RFC 1", "a small oddity")
    made = record(_orchard.asks(), findings=(note,))
    assert "1 note on sound frames: --all shows it" in said(made)
    assert "a small oddity" not in said(made)
    assert "a small oddity" in said(made, show_all=True)


def test_a_frame_without_its_start_says_so() -> None:
    for starts, why in (("inside", "its start is not there"), ("unknown", "where it starts")):
        made = record(bytes(40), state="cannot tell", frame={"starts_at": starts})
        assert f"undecided: {why}" in said(made)
    doubts = tuple(Doubt(f"thing {n}", "this", "that", True) for n in range(9))
    text = said(record(bytes(40), state="cannot tell", doubts=doubts))
    assert "undecided: see the doubts" in text
    assert "doubt   thing 0: taken as this; could be that" in text
    assert "3 more doubts: --all shows them" in text


@pytest.mark.parametrize(
    ("dump", "says"),
    [
        ({"wire_length": 90}, "60 of 90 octets on the wire are there"),
        ({"claimed_length": 70}, "60 of 70 octets as announced are there"),
        ({}, "what is there is not whole"),
    ],
)
def test_a_cut_frame_says_what_is_missing(dump: dict[str, Any], says: str) -> None:
    assert says in said(record(_orchard.asks(), state="cut", dump=dump))


def test_what_moved_and_what_heals_is_told() -> None:
    made = record(
        _orchard.asks(),
        state="damaged",
        moves=(Move(4, 20, 10),),
        repair=Repair("one flipped bit", b"", ("fcs",)),
    )
    text = " ".join(said(made).split())
    assert "what was sent at 0xa stands at 0x4: 20 octets" in text
    assert "healed by: one flipped bit proved by FCS" in text


def test_the_healed_frame_is_printed_where_it_differs() -> None:
    octets = _orchard.asks()
    right = octets[:20] + b"\xab" + octets[21:]
    made = record(octets, state="damaged", repair=Repair("one octet", right, ("fcs",)))
    row = f"0x010   {right[16:32].hex(' ')}"
    for text in (said(made), said(made, show_all=True)):
        lines = [line.removeprefix("  healed").strip() for line in text.splitlines()]
        assert row in lines
    assert any(f"0x020   {right[32:48].hex(' ')}" == line for line in lines)
    markdown = written(MARKDOWN, [made])
    assert f"\n0x0010  {right[16:32].hex(' ')}\n" in markdown
    assert right[16:32].hex(" ") in written(HTML, [made])


def test_a_suspicious_finding_is_marked_where_it_alone_damages() -> None:
    odd = Finding("an-oddity", "suspicious", None, (Span(0, 16),), 1, 2, "RFC 1", "odd")
    lines = said(record(_orchard.asks(), state="damaged", findings=(odd,))).splitlines()
    at = next(i for i, line in enumerate(lines) if "0x000" in line)
    assert lines[at + 1].strip() == "!!!!!"


def test_the_arithmetic_of_a_sum_is_told_and_marks_what_it_blames() -> None:
    blamed = Verdict(
        "udp-checksum",
        "mismatch",
        1,
        2,
        Span(80, 96),
        (Span(0, 480),),
        "one word would heal it",
        (Span(160, 176),),
    )
    sum_ = Finding("udp-checksum", "impossible", "udp", (Span(0, 480),), 1, 2, "RFC 768", "no")
    made = record(_orchard.asks(), state="damaged", verdicts=(blamed,), findings=(sum_,))
    lines = said(made).splitlines()
    assert "          one word would heal it" in lines
    at = next(i for i, line in enumerate(lines) if "0x010" in line)
    assert lines[at + 1].index("!!!!!") == lines[at].index("08 00") + 4 * 3


def test_many_findings_are_cut_short_and_counted() -> None:
    found = tuple(
        Finding(f"rule-{n}", "forbidden", None, (Span(0, 8),), 1, 2, "RFC 1", f"reason {n}")
        for n in range(9)
    )
    made = record(_orchard.asks(), state="damaged", findings=found)
    assert "3 findings more: --all shows them" in said(made)
    assert "reason 8" in said(made, show_all=True)


def test_a_fate_without_a_finding_still_names_its_standard() -> None:
    # As with facts about the host, which are no findings.
    fate = Fate("dropped", "transport-checksum", "udp-checksum")
    assert "(RFC 1122 4.1.3.4)" in said(record(_orchard.asks(), state="damaged", fate=fate))


def test_every_layer_is_told_field_by_field_on_demand() -> None:
    text = " ".join(said(unwritten(), show_all=True).split())
    checksum = unwritten().octets[24:26].hex()
    assert "total length 314, identification 1, reserved flag 0" in text
    assert f"header checksum {checksum}, source address 192.0.2.1" in text
    assert "assumed to fit, as --host does not say: mac, ip" in text


def test_only_damaged_leaves_the_others_out() -> None:
    text = said(sound(), unwritten(), cut(), only_damaged=True)
    assert text.startswith("bench.log: 1 of 3 frames is damaged, 1 is cut off")
    assert "ARP" not in text
    assert "frame 3" not in text


@pytest.mark.parametrize(
    ("given_input", "says"),
    [
        (InputRecord("e.log"), "e.log: no frame found, it is empty; give a log"),
        (
            InputRecord("c.log", 90, 0, 0, 90),
            "c.log: no frame found in 90 characters; have frames printed",
        ),
        (
            InputRecord("-", 9, 2, 0, 7),
            "standard input: no frame found in 9 characters; its dumps are too short",
        ),
        (InputRecord("x.pcap", error="x.pcap: it broke off; again"), "x.pcap: it broke off"),
    ],
)
def test_an_input_without_a_frame_gets_one_clear_sentence(
    given_input: InputRecord, says: str
) -> None:
    text = " ".join(written(TERMINAL, [], given_input).split())
    assert text.startswith(says)


def test_doubts_about_the_log_are_said() -> None:
    doubt = Doubt("first column", "an offset", "octets", line=12)
    i = InputRecord("bench.log", 9, 4, 3, 2, 1, (doubt,))
    assert "line 12: first column: taken as an offset; could be octets" in written(
        TERMINAL, [sound()], i
    )


def test_colour_only_adds_to_what_stands_there_without_it() -> None:
    records = [make() for make in KINDS]
    plain_text, coloured = said(*records), said(*records, colour=True)
    assert "\x1b" not in plain_text
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == plain_text
    assert set(re.findall(r"\x1b\[([0-9;]*)m", coloured)) == {"0", "1", "2", "1;31"}


@pytest.mark.parametrize("width", [40, 60, 79, 80, 100])
@pytest.mark.parametrize("show_all", [False, True])
def test_no_line_is_wider_than_the_page(width: int, show_all: bool) -> None:
    long = record(_orchard.asks(), summary="w" * 500, input="n" * 200)
    wide = record(_orchard.asks(), summary="霜" * 90)
    records = [*(make() for make in KINDS), long, wide, hostile("x" * 300), hostile("a b " * 90)]
    for line in said(*records, width=width, show_all=show_all).splitlines():
        assert columns(line) <= width, line


@given(st.text(min_size=1), st.integers(40, 100), st.booleans())
def test_nothing_of_a_log_acts_on_a_terminal_or_widens_the_page(
    text: str, width: int, show_all: bool
) -> None:
    page = said(hostile(text), width=width, show_all=show_all)
    for line in page.split("\n"):
        assert all(unicodedata.category(c) not in _ACTING for c in line)
        assert columns(line) <= width


@pytest.mark.parametrize(
    "text", ["\x1b[31mred", "\u202eback", "\x00", "\x9b2J", "a\rb", "a\nb", "\u200b", "\u2028"]
)
def test_known_tricks_are_words(text: str) -> None:
    for report in (TERMINAL, JUNIT):
        page = written(report, [hostile(text)])
        assert all(unicodedata.category(c) not in _ACTING for c in page if c != "\n")


_ACTING = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}


@given(st.binary(max_size=200), st.integers(1, 20), st.data())
def test_any_frame_printed_in_any_rows_can_be_shown(
    octets: bytes, each: int, data: st.DataObject
) -> None:
    edges = st.integers(0, len(octets))
    ranges = st.lists(st.tuples(edges, edges).filter(lambda r: r[0] < r[1]), max_size=3)
    made = record(
        octets,
        places=placed(octets, 3, each),
        state="damaged",
        wrong=tuple(data.draw(ranges)) if octets else (),
        residue=tuple(data.draw(ranges)) if octets else (),
        missing=tuple(Missing(at, 1) for at in data.draw(st.lists(edges, max_size=2))),
        reference=octets[::-1],
    )
    for line in said(made).splitlines():
        assert len(line) <= 80


@given(st.text(), st.integers(20, 100))
def test_wrapping_loses_no_character_but_blanks(text: str, width: int) -> None:
    lines = list(wrap(text, width))
    assert "".join("".join(lines).split()) == "".join(text.split())
    assert all(columns(line) <= width for line in lines)


def test_the_frames_are_not_held_in_memory() -> None:
    # Two thousand frames, each forgotten as soon as the next is asked for.
    alive: list[int] = []

    class Seen(FrameRecord):
        def __del__(self) -> None:
            alive.append(-1)

    first = sound()
    made = {name: getattr(first, name) for name in FrameRecord.__slots__}

    def frames() -> Any:
        for n in range(2000):
            alive.append(1)
            assert sum(alive) <= 3
            yield Seen(**{**made, "number": n})

    end = totals([first])
    from framecheck.core.report import ReportOptions

    for _ in TERMINAL.write(frames(), lambda: end, ReportOptions(("bench.log",))):
        pass
