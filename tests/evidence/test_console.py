"""What the console broke is not blamed on the frame."""

from pathlib import Path

import framecheck

LOG = (Path(__file__).parents[1] / "golden" / "dhcp-wrong-sum.log").read_text()
SOUND = LOG.replace("0e 50 01 04", "0e 10 01 04").replace("...P....", "........")
PLAIN = "\n".join(line.split(" |")[0] for line in SOUND.splitlines()) + "\n"


def test_the_log_is_sound_as_it_was_made() -> None:
    for text in (SOUND, PLAIN):
        (frame,) = framecheck.check(text).frames
        assert (frame.state, frame.broken_by, frame.doubts) == ("sound", None, ())


def test_a_digit_that_the_gutter_proves_heals_and_the_sum_says_so() -> None:
    (frame,) = framecheck.check(SOUND.replace("61 72 64 2e", "61 7 64 2e")).frames

    assert frame.state == "sound"
    assert frame.broken_by == "console"
    assert [b - a for a, b in frame.doubtful] == [1]
    assert frame.octets[frame.doubtful[0][0]] == 0x72


def test_a_digit_that_one_value_alone_heals_is_put_back_and_doubtful() -> None:
    (frame,) = framecheck.check(PLAIN.replace("61 72 64 2e", "61 7 64 2e")).frames

    assert frame.state == "sound"
    ((start, stop),) = frame.doubtful
    assert frame.frame.octets[start:stop] == b"\x72"
    assert {v.name: v.outcome for v in frame.verdicts}["udp-checksum"] == "match"
    assert any("udp-checksum holds with no other" in d.says for d in frame.doubts)


def test_digits_that_nothing_proves_leave_the_frame_undecided() -> None:
    (frame,) = framecheck.check(PLAIN.replace("61 72 64 2e", "61 7 6 2e")).frames

    assert frame.state == "cannot tell"
    assert frame.broken_by == "console"
    assert frame.wrong == frame.residue == frame.suspect == ()
    outcomes = {v.name: v.outcome for v in frame.verdicts}
    assert outcomes["ipv4-header-checksum"] == "match"
    assert outcomes["udp-checksum"] == "unverifiable"
    assert frame.fate.outcome == "cannot tell"


def test_a_lost_line_leaves_the_frame_undecided() -> None:
    lines = PLAIN.splitlines(keepends=True)
    (frame,) = framecheck.check("".join(lines[:8] + lines[9:])).frames

    assert frame.state == "cannot tell"
    assert frame.broken_by == "console"
    assert not [f for f in frame.findings if f.certainty in ("impossible", "forbidden")]


def test_damage_away_from_the_broken_digit_is_still_damage() -> None:
    header = PLAIN.replace("40 11 8d 8d", "40 11 8d 8c")
    (frame,) = framecheck.check(header.replace("61 72 64 2e", "61 7 64 2e")).frames

    assert frame.state == "damaged"
    assert [f.rule for f in frame.findings if f.certainty == "impossible"] == [
        "ipv4-header-checksum"
    ]
