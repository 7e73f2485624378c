"""The fixture and the marker, in a pytest of its own (pytester)."""

from __future__ import annotations

import pytest

from framecheck import check
from framecheck.cli import _orchard
from tests.requirements.test_requirements import SOUND

pytest_plugins = ("pytester",)

# What loads when it is first needed is loaded here: pytester forgets the modules that are loaded
# after it begins, while a shelf keeps what it found in them.
for _text in (SOUND, _orchard.log()):
    check(_text, fill="letters")


@pytest.fixture
def bench(pytester: pytest.Pytester) -> pytest.Pytester:
    (pytester.path / "sound.log").write_text(SOUND)
    (pytester.path / "orchard.log").write_text(_orchard.log())
    (pytester.path / "board.toml").write_text('[seen]\n"dhcp ack" = 1\n')
    return pytester


def outcome(bench: pytest.Pytester, body: str) -> pytest.RunResult:
    bench.makepyfile(body)
    return bench.runpytest_inprocess("--strict-markers", "-p", "no:xdist", "-p", "no:cov")


def test_a_sound_log_passes_and_the_sheet_comes_back(bench: pytest.Pytester) -> None:
    result = outcome(
        bench,
        """
        from pathlib import Path
        def test_by_path(framecheck): assert len(framecheck(Path("sound.log")).frames) == 2
        def test_by_name(framecheck): assert framecheck("sound.log").verdict == "sound"
        def test_by_text(framecheck): assert framecheck(Path("sound.log").read_text()).frames
        """,
    )
    result.assert_outcomes(passed=3)


def test_a_damaged_log_fails_and_its_message_holds_the_damaged_row(bench: pytest.Pytester) -> None:
    result = outcome(bench, 'def test_it(framecheck): framecheck("orchard.log", fill="letters")')
    result.assert_outcomes(failed=1)
    said = result.stdout.str()
    assert "orchard.log: 2 of 4 frames are damaged" in said
    assert "49 4a 4b 4c 4d 4e 4f 50" in said
    assert "never written, still the fill: octets 0x140 to 0x147" in said
    assert "Traceback" not in said


def test_the_marker_gives_requirements_and_a_call_may_change_them(bench: pytest.Pytester) -> None:
    result = outcome(
        bench,
        """
        import pytest
        @pytest.mark.framecheck(require="board.toml")
        def test_wants(framecheck): framecheck("sound.log")
        @pytest.mark.framecheck(require="board.toml")
        def test_does_not(framecheck): framecheck("sound.log", require=None)
        """,
    )
    result.assert_outcomes(failed=1, passed=1)
    assert "at least 1 sound dhcp ack: 0 seen" in result.stdout.str()


@pytest.mark.parametrize(
    ("call", "says"),
    [
        ('framecheck("no frame here")', "no frame found"),
        ('framecheck("sound.log", fil="zero")', "framecheck has no keyword fil"),
        ('framecheck("sound.log", fill="a tree")', "not a fill"),
        ('framecheck("sound.log", require="none.toml")', "there is no such file"),
        ('framecheck("sound.log", host="mac=1")', "is not six octets"),
    ],
)
def test_what_cannot_be_checked_fails_in_words(
    bench: pytest.Pytester, call: str, says: str
) -> None:
    result = outcome(bench, f"def test_it(framecheck): {call}")
    result.assert_outcomes(failed=1)
    assert says in result.stdout.str()
