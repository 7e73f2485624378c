"""The library's three functions, on the golden logs and on bad input."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import framecheck
from framecheck.core.finding import Host
from framecheck.core.problem import Problem

GOLDEN = Path(__file__).parent / "golden"
TAIL = (GOLDEN / "unwritten-tail.log").read_text()


def test_check_names_the_octets_that_were_never_written() -> None:
    sheet = framecheck.check(TAIL, fill="letters")

    (frame,) = sheet.damaged
    assert sheet.verdict == "damaged"
    assert frame.residue == ((96, 107),)
    place = frame.places.at(96)
    assert place is not None
    assert TAIL.splitlines()[place.line - 1][place.column - 1 : place.end_column - 1] == "53"


def test_check_compares_with_what_was_sent(tmp_path: Path) -> None:
    sent = tmp_path / "sent.txt"
    received = (GOLDEN / "dhcp-wrong-sum.log").read_text()
    sent.write_text(received.replace("0e 50 01 04", "0e 10 01 04").replace("...P....", "........"))

    sheet = framecheck.check(received, sent=str(sent))

    (frame,) = sheet.frames
    assert frame.wrong == ((296, 297),)
    assert frame.broken_by == "transfer"
    assert frame.suspect == ()
    assert sum(b - a for a, b in frame.proven) == 341


def test_read_gives_octets_with_their_places() -> None:
    (dump,) = framecheck.read(TAIL)

    assert len(dump.octets) == 107
    for i, octet in enumerate(dump.octets):
        place = dump.places.at(i)
        assert place is not None
        line = TAIL.splitlines()[place.line - 1]
        assert int(line[place.column - 1 : place.end_column - 1], 16) == octet


def test_decode_tiles_the_frame() -> None:
    (dump,) = framecheck.read(TAIL)
    layers = framecheck.decode(dump.octets)

    assert [x.kind for x in layers] == ["ethernet", "ipv4", "udp", "payload"]
    assert layers[1].number("total_length") == 93


def test_a_host_that_is_another_drops_the_frame() -> None:
    (frame,) = framecheck.check(TAIL, host=Host(mac=bytes.fromhex("00005e005342"))).frames

    assert frame.fate.outcome == "dropped"
    assert frame.fate.step == "mac-address-filter-and-fcs"


@pytest.mark.parametrize("text", ["", "\n", "no frame here\n", "\0\0\0", "00", "00 01 02"])
def test_a_text_without_a_frame_cannot_tell(text: str) -> None:
    sheet = framecheck.check(text)

    assert sheet.frames == ()
    assert sheet.verdict == "cannot tell"
    assert sheet.totals.exit_code == 2


def test_options_that_cannot_be_used_are_one_line() -> None:
    for options in ({"fill": "nonsense"}, {"sent": "/no/such/file"}):
        with pytest.raises(Problem) as problem:
            framecheck.check(TAIL, **options)  # type: ignore[arg-type]
        assert "\n" not in str(problem.value)


@given(st.text())
def test_any_text_is_checked_and_each_character_spoken_for(text: str) -> None:
    (said,) = framecheck.check(text).totals.inputs

    assert said.characters == len(text)
    assert said.digits + said.framing + said.skipped == said.characters


def test_any_damage_of_a_log_is_checked_without_a_fault() -> None:
    @given(st.integers(0, len(TAIL) - 1), st.characters(codec="utf-8"), st.booleans())
    def damaged(at: int, c: str, replace: bool) -> None:
        text = TAIL[:at] + c + TAIL[at + replace :]
        sheet = framecheck.check(text, fill="letters")
        (said,) = sheet.totals.inputs
        assert said.digits + said.framing + said.skipped == len(text)

    damaged()


def test_a_status_word_left_in_front_is_said_where_it_changes_the_fate() -> None:
    (dump,) = framecheck.read((GOLDEN / "sound-arp.log").read_text())
    octets = bytes.fromhex("80014000") + dump.octets
    rows = [octets[i : i + 16].hex(" ") for i in range(0, len(octets), 16)]
    text = "rx:\n" + "".join(f"{16 * i:04x}: {row}\n" for i, row in enumerate(rows))

    (frame,) = framecheck.check(text).frames

    assert frame.octets == dump.octets
    assert [(e.kind, e.side) for e in frame.frame.envelopes] == [("status2-length2-le", "head")]
    assert [f.rule for f in frame.findings] == ["device-octets-left-on"]
    assert (frame.state, frame.fate.outcome) == ("sound", "delivered")


def test_a_log_that_ends_inside_an_arp_packet_accuses_nobody() -> None:
    text = (GOLDEN / "sound-arp.log").read_text()
    start = text.index("0000: ")

    for stop in range(start + 60, text.index("0030: ")):
        for frame in framecheck.check(text[:stop]).frames:
            assert frame.state in ("cut", "cannot tell"), (stop, frame.state)
