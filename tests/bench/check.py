"""The whole check, to JSON: log text a second, frames a second, peak memory at 10 and 100 MB.

The frames are the recorded ones, printed with offsets and a character column. Memory may not grow
with the log: the two peaks should be equal within 10 %.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import dpkt

TRAFFIC = Path(__file__).parents[2] / "vectors" / "traffic" / "offload-off.pcap"


def printed(octets: bytes, number: int) -> str:
    """One frame as a console prints it."""
    clock = f"[{number:6d}.000001] "
    lines = [f"{clock}eth0: received {len(octets)} octets"]
    for at in range(0, len(octets), 16):
        row = octets[at : at + 16]
        gutter = "".join(chr(c) if 32 <= c < 127 else "." for c in row)
        lines.append(f"{clock}{at:04x}: {row.hex(' '):<47} |{gutter}|")
    return "\n".join(lines) + "\n"


def write(path: Path, size: int) -> int:
    """A log of at least ``size`` characters; returns how many frames it holds."""
    with TRAFFIC.open("rb") as file:
        frames = [octets for _, octets in dpkt.pcap.Reader(file)]
    number = written = 0
    with path.open("w") as out:
        while written < size:
            written += out.write(printed(frames[number % len(frames)], number))
            number += 1
    return number


def checked(path: Path) -> tuple[float, int]:
    """Seconds of processor time and kilobytes at the most of one check."""
    code = (
        "import resource, sys\n"
        "from framecheck.cli import run\n"
        "code = run(['check', '--report', 'json', sys.argv[1]])\n"
        "print(code, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, file=sys.stderr)\n"
    )
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(
        [sys.executable, "-c", code, str(path)],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        check=True,
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    spent = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return spent, int(done.stderr.split()[-1])


def run() -> list[object]:
    """Rows of the table."""
    rows: list[object] = [("log", "MB/s", "frames/s", "peak kB")]
    with tempfile.TemporaryDirectory() as folder:
        for size in (10_000_000, 100_000_000):
            path = Path(folder) / f"{size}.log"
            frames = write(path, size)
            spent, peak = checked(path)
            mb = path.stat().st_size / 1e6
            rows.append(
                (f"{size // 1_000_000} MB", f"{mb / spent:.1f}", f"{frames / spent:.0f}", peak)
            )
    rows.append(f"measured on {time.strftime('%Y-%m-%d')}, one process, processor time")
    return rows
