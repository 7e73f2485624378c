"""The whole process for one pasted frame, against ``python -c pass``: at most 7 times, aim 5."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import NamedTuple

ROUNDS = 15
MOST, AIM = 7, 5
UNWANTED = ("numpy", "dpkt", "bitstring", "rich")

FRAME = """\
frost-1> show last
0000  00 00 5e 00 53 07 00 00 5e 00 53 01 08 00 45 00
0010  00 21 12 34 00 00 40 11 e4 49 c0 00 02 01 c0 00
0020  02 4d 13 88 13 89 00 0d 10 a2 68 65 6c 6c 6f 00
0030  00 00 00 00 00 00 00 00 00 00 00 00
frost-1>
"""


class Import(NamedTuple):
    """One line of ``-X importtime``: microseconds alone, with all that it imports, and name."""

    alone: int
    together: int
    name: str


def surroundings(folder: str) -> dict[str, str]:
    """An environment in which byte code is kept, as after any installation, in a folder of ours."""
    kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    return {**kept, "PYTHONPYCACHEPREFIX": folder}


def imports(command: list[str], env: dict[str, str]) -> list[Import]:
    """What a Python command imports and what each module costs."""
    timed = [command[0], "-X", "importtime", *command[1:]]
    said = subprocess.run(timed, capture_output=True, text=True, timeout=60, env=env).stderr
    found = []
    for line in said.splitlines():
        if line.startswith("import time:") and "|" in line:
            alone, together, name = line.removeprefix("import time:").split("|")
            if alone.strip().isdigit():
                found.append(Import(int(alone), int(together), name.strip()))
    return found


def interleaved(commands: list[list[str]], env: dict[str, str]) -> list[float]:
    """Median seconds of each command, run in turns so that a busy neighbour hits all alike."""
    taken: list[list[float]] = [[] for _ in commands]
    for turn in range(ROUNDS + 1):
        for command, times in zip(commands, taken, strict=True):
            begin = time.perf_counter()
            subprocess.run(command, capture_output=True, timeout=60, check=False, env=env)
            if turn:  # the first one fills caches and writes byte code
                times.append(time.perf_counter() - begin)
    return [statistics.median(t) for t in taken]


def run() -> list[tuple[str, ...] | str]:
    """Medians and ratios, what was imported and must not be, and what imports cost."""
    with tempfile.TemporaryDirectory() as folder:
        log = Path(folder, "bench.log")
        log.write_text(FRAME)
        arguments = ["check", "--report", "json", str(log)]
        console = Path(sys.executable).with_name("framecheck")
        ways = {"python -m framecheck": [sys.executable, "-m", "framecheck", *arguments]}
        if console.exists():
            ways["framecheck (console script)"] = [str(console), *arguments]
        module, bare = ways["python -m framecheck"], [sys.executable, "-c", "pass"]
        env = surroundings(str(Path(folder, "byte-code")))
        once = subprocess.run(module, capture_output=True, timeout=60, env=env)
        base, *times = interleaved([bare, *ways.values()], env)
        loaded = imports(module, env)
        always = {i.name for i in imports(bare, env)}
    rows: list[tuple[str, ...] | str] = [
        f"medians of {ROUNDS} interleaved runs; load {os.getloadavg()[0]:.1f}",
        ("process", "ms", "times", ""),
        ("python -c pass", f"{base * 1e3:.1f}", "1.0", ""),
    ]
    for name, seconds in zip(ways, times, strict=True):
        ratio = seconds / base
        held = "aim held" if ratio <= AIM else "must held" if ratio <= MOST else "too slow"
        rows.append((name, f"{seconds * 1e3:.1f}", f"{ratio:.1f}", held))
    if once.returncode or not once.stdout:
        said = once.stderr.decode(errors="replace").strip().splitlines()
        rows.append(f"NOT SOUND: exit code {once.returncode}, {said[-1] if said else 'no error'}")
    rows.append(f"{len(once.stdout)} octets of JSON")
    packages = {i.name.partition(".")[0] for i in loaded}
    rows.append(f"imported and unwanted: {', '.join(sorted(packages & set(UNWANTED))) or 'none'}")
    new = [i for i in loaded if i.name not in always]
    own = [i for i in new if i.name.partition(".")[0] == "framecheck"]
    foreign = [i for i in new if i not in own]
    for title, group in (("own", own), ("others'", foreign)):
        alone = sum(i.alone for i in group) / 1e3
        rows.append(f"{len(group)} modules of {title}, {alone:.1f} ms alone; the dearest:")
        for i in sorted(group, reverse=True)[:10]:
            rows.append((f"  {i.name}", f"{i.alone / 1e3:.1f}", f"{i.together / 1e3:.1f}", "all"))
    return rows
