"""The README's commands do what it shows: each console block is run and compared."""

import os
import re
import subprocess
import sys
from pathlib import Path

import dpkt
import pytest

from framecheck.cli import _orchard

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text()
BLOCK = re.compile(r"```console\n(.*?)```", re.DOTALL)
BLOCKS = BLOCK.findall(README)
PYTHON = re.findall(r"```python\n(.*?)```", README, re.DOTALL)


def steps(block: str) -> list[tuple[str, str]]:
    """(command, output) of a block whose commands begin with a dollar sign."""
    parts = re.split(r"^\$ (.*)\n", block, flags=re.MULTILINE)[1:]
    return list(zip(parts[::2], parts[1::2], strict=True))


def test_there_is_something_to_run() -> None:
    assert sum(len(steps(b)) for b in BLOCKS) >= 5


def shown(command: str) -> str:
    """What a reader sees who runs the command in the checkout."""
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    environment = {"PATH": path, "HOME": os.environ.get("HOME", "/"), "LC_ALL": "C.UTF-8"}
    done = subprocess.run(
        ["bash", "-c", command],
        cwd=ROOT,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        timeout=60,
        stdin=subprocess.DEVNULL,
    )
    return done.stdout


@pytest.mark.parametrize(("command", "output"), [s for b in BLOCKS for s in steps(b)])
def test_a_console_step_prints_what_the_readme_shows(command: str, output: str) -> None:
    assert shown(command) == output


@pytest.mark.parametrize("code", PYTHON)
def test_a_python_block_runs_and_prints_its_comments(code: str) -> None:
    wanted = [line.split("# prints ", 1)[1] for line in code.splitlines() if "# prints " in line]

    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, timeout=60
    )

    assert done.stderr == ""
    assert done.stdout.splitlines() == wanted
    assert wanted


def test_the_demo_s_files_are_those_that_it_makes() -> None:
    demo = ROOT / "vectors" / "demo"
    with (demo / "sent.pcap").open("rb") as file:
        sent = [octets for _, octets in dpkt.pcap.Reader(file)]

    assert (demo / "orchard.log").read_text() == _orchard.log()
    assert sent == [
        _orchard.asks(),
        _orchard.offer(0x5EED0001),
        _orchard.offer(0x5EED0002),
        _orchard.asks(),
    ]


def test_the_first_paragraph_states_the_job() -> None:
    first = README.split("\n\n")[1]
    assert all(word in first for word in ("console", "frame", "octets"))
