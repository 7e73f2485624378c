"""Progress: on a terminal when it takes long, never in a pipe."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

from framecheck.cli import _orchard, _progress

SLOW = """
import sys, time
from framecheck.cli import _progress, run
_progress.PATIENCE = 0.0
_progress.EACH = 0.0
sys.exit(run(sys.argv[1:]))
"""


@pytest.fixture
def logs(tmp_path: Path) -> Path:
    for n in range(3):
        (tmp_path / f"{n}.log").write_text(_orchard.log())
    return tmp_path


def on_a_terminal(arguments: list[str], folder: Path) -> tuple[int, str, str]:
    """Exit code, standard output (a pipe), and what a terminal behind standard error got."""
    ours, theirs = pty.openpty()
    made = subprocess.Popen(
        [sys.executable, "-c", SLOW, *arguments],
        cwd=folder,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=theirs,
        env={**os.environ, "TERM": "xterm"},
    )
    os.close(theirs)
    out, _ = made.communicate(timeout=60)
    heard = b""
    try:
        while piece := os.read(ours, 65536):
            heard += piece
    except OSError:  # the terminal's other end is gone
        pass
    os.close(ours)
    return made.returncode, out.decode(), heard.decode()


def test_a_terminal_hears_how_far_it_is_and_the_report_is_untouched(logs: Path) -> None:
    code, out, heard = on_a_terminal(["check", "--fill", "letters", "."], logs)
    assert code == 1
    assert "12 frames" in heard
    assert out.startswith("3 inputs: 6 of 12 frames are damaged\n")
    assert "\x1b" not in out


def test_a_pipe_hears_nothing(logs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    frames = list(_progress.watched(iter([]), ["x"], None))
    assert frames == []
    assert capsys.readouterr() == ("", "")
