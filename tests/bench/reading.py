"""The tolerant reader on a 10 MB log, by layout, against a straightforward pipeline.

The straightforward pipeline is what one writes in an afternoon for a layout one knows: a line
pattern, ``bytes.fromhex``, dpkt, and sums with struct. Both run in turn in one process.
"""

from __future__ import annotations

import random
import re
import struct
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import dpkt

from framecheck.framing import content
from framecheck.reading import Reader
from tests.strategies_layouts import Layout, frame, printed

SIZE = 10_000_000
ROUNDS = 3
MUST, AIM = 0.3, 0.5
PIECE = 1 << 16

LAYOUTS = {
    "gutter": Layout(
        prefix="[   {t:.6f}] ", offset="{:04x}: ", gutter="  |{}|", middle="  ", header="rx {n}"
    ),
    "words": Layout(prefix="[   {t:.6f}] ", offset="{:04x}: ", group=4),
    "pairs": Layout(offset="{:04x}  "),
    "bare": Layout(offset="", header="rx len {n}"),
    "constants": Layout(offset="", mark="0x", between=", ", header="frame of {n} octets"),
}
_LINE = re.compile(
    r"^(?:\[ *[\d.]+\] )?(?:([0-9a-f]{4}):? +)?((?:(?:0x)?[0-9a-f]{2,8}[ ,]+)*(?:0x)?[0-9a-f]{2,8})"
    r"(?:  +\|.*)?$"
)


def log(layout: Layout, size: int, seed: int = 7) -> str:
    """A log of about ``size`` characters in one layout, a little chatter between the frames."""
    rng = random.Random(seed)
    parts: list[str] = []
    made = line = 0
    while made < size:
        octets = frame(rng)
        text, _ = printed(octets, layout, line, made / 1e6)
        text += "orchard: wind machine idle\n" if rng.random() < 0.3 else "\n"
        parts.append(text)
        made += len(text)
    return "".join(parts)


def straightforward(text: str) -> int:
    """Frames read and summed by the afternoon's pipeline."""
    count = 0
    for octets in _frames(text):
        count += 1
        try:
            packet = dpkt.ethernet.Ethernet(octets).data
        except (dpkt.UnpackError, ValueError, IndexError):
            continue
        if isinstance(packet, dpkt.ip.IP):
            header = octets[14 : 14 + packet.hl * 4]
            _sum(header)
            _sum(octets[14 + packet.hl * 4 : 14 + packet.len])
    return count


def _frames(text: str) -> Iterator[bytes]:
    rows: list[bytes] = []
    for line in text.split("\n"):
        m = _LINE.match(line)
        if m is None:
            if rows:
                yield b"".join(rows)
                rows = []
            continue
        if m[1] == "0000" and rows:
            yield b"".join(rows)
            rows = []
        digits = m[2]
        if "x" in digits:
            digits = digits.replace("0x", "").replace(",", "")
        rows.append(bytes.fromhex(digits))
    if rows:
        yield b"".join(rows)


def _sum(octets: bytes) -> int:
    if len(octets) % 2:
        octets += b"\0"
    total = sum(struct.unpack(f"!{len(octets) // 2}H", octets))
    while total >> 16:
        total = (total & 0xFFFF) + (total >> 16)
    return total


def tolerant(text: str) -> int:
    """Frames read by the tolerant reader, in pieces."""
    reader = Reader(content)
    count = 0
    for at in range(0, len(text), PIECE):
        count += len(reader.feed(text[at : at + PIECE]))
    return count + len(reader.close())


def seconds(work: object, text: str) -> tuple[float, int]:
    """The best processor time of some rounds, and what came out."""
    assert callable(work)
    best, count = float("inf"), 0
    for _ in range(ROUNDS):
        start = time.process_time()
        count = work(text)
        best = min(best, time.process_time() - start)
    return best, count


def peak(size: int) -> int:
    """Kilobytes of memory, at the most, of a process that reads a log of this size."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "log"
        piece = log(LAYOUTS["gutter"], 5_000_000)
        with path.open("w") as out:
            for _ in range(size // 5_000_000):
                out.write(piece)
        code = (
            "import re, sys\n"
            "from framecheck.framing import content\n"
            "from framecheck.reading import Reader\n"
            "reader = Reader(content)\n"
            "with open(sys.argv[1]) as text:\n"
            f"    while piece := text.read({PIECE}):\n"
            "        reader.feed(piece)\n"
            "reader.close()\n"
            # The system's own high water mark: the one of getrusage also counts the parent.
            "print(re.search(r'VmHWM:\\s*(\\d+)', open('/proc/self/status').read())[1])\n"
        )
        out = subprocess.run(
            [sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True
        )
        return int(out.stdout)


def run() -> list[object]:
    """The table by layout, then the peak of memory."""
    return list(_rows())


def _rows() -> Iterator[object]:
    yield ("layout", "straightforward MB/s", "tolerant MB/s", "ratio", f"must {MUST}, aim {AIM}")
    for name, layout in LAYOUTS.items():
        text = log(layout, SIZE)
        plain, frames = seconds(straightforward, text)
        ours, dumps = seconds(tolerant, text)
        yield (
            name,
            f"{len(text) / plain / 1e6:.1f}",
            f"{len(text) / ours / 1e6:.1f}",
            f"{plain / ours:.2f}",
            f"{dumps} dumps, {frames} by the other",
        )
    small, large = peak(10_000_000), peak(100_000_000)
    yield f"peak memory: 10 MB {small} kB, 100 MB {large} kB, ratio {large / small:.2f}"
