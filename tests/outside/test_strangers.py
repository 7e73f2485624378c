"""Logs in layouts that nobody described to the reader: what it reads, doubts, loses, gets wrong.

The logs and their truth are written by the ``make.py`` beside them; their layouts are invented, and
whoever wrote them had not seen the reader. Run as a script, this file prints the table.
"""

from __future__ import annotations

import codecs
import functools
import json
import re
import subprocess
import sys
from collections import Counter
from pathlib import Path
from typing import Any, NamedTuple

import dpkt
import pytest

import framecheck
from framecheck.core.frame import Dump, Frame
from framecheck.core.sheet import Sheet

VECTORS = Path(__file__).parents[2] / "vectors"
NAMES = ("strangers", *(f"strangers{n}" for n in range(2, 13)))
FOLDERS = [VECTORS / name for name in NAMES]
PATHS = {p.stem: p for folder in FOLDERS for p in sorted(folder.glob("*.log"))}
LOGS = [name for name in PATHS if name[0].isdigit()]
CHATTER = [name for name in PATHS if name.startswith("chatter-")]
MISSES_ALLOWED = 1 / 15
"""Of the logs of a folder."""
LINES_NAMED = re.compile(r"lines (\d+) to (\d+)")
ELSE = ["chatter-08"]
"""Chatter with a dump in it that is no frame's."""
EXACT = [
    "02-json-lines",
    "03-comma-columns",
    "04-tagged-element",
    "06-c-arrays",
    "10-dashed-twelve",
    "11-dotted-twenty",
    "12-bulleted-lines",
    "14-semicolons-quoted",
    "21-absolute-big-words",
    "22-absolute-little-words",
    "23-little-halfwords",
    "24-tabbed-halfwords",
    "25-spaced-longs",
    "27-image-hash-first",
    "28-quoted-shell",
    "30-one-line-colons",
    *(p.stem for name in NAMES[2:] for p in sorted((VECTORS / name).glob("[0-9]*.log"))),
]
DOUBTED = [
    "11-two-tasks",
    "20-with-sum",
    "28-high-end-left",
    "38-table-of-values",
    "40-data-lines",
    "11-same-rows",
    "14-two-tasks",
    "19-stream-beats",
    "12-25-two-buffers",
    "12-38-summed-records",
]
EXACT = [name for name in EXACT if name not in DOUBTED]
"""Logs of which every frame was once read, octet by octet, at its very place: they stay so."""


def text_of(name: str) -> str:
    """The log, with its line ends as they are."""
    raw = PATHS[name].read_bytes()
    wide = raw.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    try:
        return raw.decode("utf-16" if wide else "utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("latin-1")


def truth_of(name: str) -> dict[str, Any]:
    """What the maker wrote down about the log."""
    found: dict[str, Any] = json.loads(PATHS[name].with_suffix(".json").read_text())
    return found


class Read(NamedTuple):
    """A dump, and the frame in it: a log prints more than the frame, its truth may be either."""

    dump: Dump
    frame: Frame


@functools.cache
def sheet_of(name: str) -> Sheet:
    """What is said of a log."""
    return framecheck.check(text_of(name))


@functools.cache
def read(name: str) -> list[Read]:
    """What the reader makes of a log."""
    return [Read(r.frame.dump, r.frame) for r in sheet_of(name).frames]


@functools.cache
def named(name: str) -> frozenset[int]:
    """The lines of a log that its own doubts name."""
    found: set[int] = set()
    for doubt in [d for i in sheet_of(name).totals.inputs for d in i.doubts]:
        found.add(doubt.line or 0)
        for first, last in LINES_NAMED.findall(doubt.other):
            found.update(range(int(first), int(last) + 1))
    return frozenset(found)


def where(dump: Dump | Frame) -> list[tuple[int, int, int] | None]:
    """Line, column and end column of every octet of a dump."""
    return [dump.places.at(i) for i in range(len(dump.octets))]


def is_truth(read: Read, frame: dict[str, Any]) -> bool:
    """Whether a dump, or the frame in it, is this one, octet by octet, each at its very place.

    What a word stands for, in the place of an equal row, has no place of its own.
    """
    return any(
        o.octets.hex() == frame["octets"]
        and all(p is None or tuple(p) == q for p, q in zip(frame["places"], where(o), strict=True))
        for o in read
    )


def common(read: Read, frame: dict[str, Any]) -> int:
    """Digits of the frame that the dump also claims."""
    return len(
        {p[:2] for p in where(read.dump) if p} & {tuple(p[:2]) for p in frame["places"] if p}
    )


@functools.cache
def outcomes(name: str) -> Counter[str]:
    """How many frames of a log were read right, doubted, lost or wrong.

    A frame that no dump touches is doubted where the log's doubts name all of its lines.
    ``extra`` are dumps without a doubt that hold digits of no frame at all.
    """
    frames, dumps = truth_of(name)["frames"], read(name)
    count: Counter[str] = Counter()
    for frame in frames:
        touching = [d for d in dumps if common(d, frame)]
        if len(touching) == 1 and is_truth(touching[0], frame):
            count["right"] += 1
        elif not touching:
            lines = {p[0] for p in frame["places"] if p}
            count["doubted" if lines <= named(name) else "lost"] += 1
        else:
            count["doubted" if all(d.frame.doubts for d in touching) else "wrong"] += 1
    count["extra"] += sum(
        1 for d in dumps if not d.frame.doubts and not any(common(d, f) for f in frames)
    )
    return count


def outcome(name: str) -> str:
    """The worst that happened in a log."""
    count = outcomes(name)
    for word in ("wrong", "extra", "lost", "doubted"):
        if count[word]:
            return "wrong" if word == "extra" else word
    return "right"


def table() -> str:
    """One line a log: its outcome, and the frames behind it."""
    lines = []
    for name in LOGS:
        said = ", ".join(f"{n} {word}" for word, n in sorted(outcomes(name).items()) if n)
        lines.append(f"{name:26} {outcome(name):8} {said}")
    for name in CHATTER:
        lines.append(f"{name:26} {len(framecheck.read(text_of(name)))} frames")
    return "\n".join(lines)


@pytest.mark.parametrize("name", LOGS)
def test_no_octet_is_wrong_without_a_doubt(name):
    assert outcome(name) != "wrong", outcomes(name)


@pytest.mark.parametrize("name", EXACT)
def test_every_frame_is_read_exactly(name):
    frames, dumps = truth_of(name)["frames"], read(name)
    assert len(dumps) == len(frames)
    assert all(is_truth(d, f) for d, f in zip(dumps, frames, strict=True)), outcomes(name)


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda p: p.name)
def test_nearly_all_logs_are_read_right_or_doubted(folder):
    names = [name for name in LOGS if PATHS[name].parent == folder]
    misses = [name for name in names if outcome(name) not in ("right", "doubted")]
    assert len(names) >= 10
    assert len(misses) <= len(names) * MISSES_ALLOWED, f"{len(misses)} missed: {misses}\n{table()}"


@pytest.mark.parametrize("name", CHATTER)
def test_no_frame_in_chatter(name):
    frames = framecheck.check(text_of(name)).frames
    assert len(frames) == (name in ELSE)
    assert all(f.state == "cannot tell" and f.doubts for f in frames)


def lines_of(text: str) -> list[str]:
    """Lines that end at LF, CRLF or CR (not at the other ends that ``splitlines`` knows)."""
    return text.replace("\r\n", "\n").replace("\r", "\n").split("\n")


@pytest.mark.parametrize("name", LOGS)
def test_truth_stands_in_the_log(name):
    """Every octet's digits, read by Python, stand where the truth says; no two overlap."""
    truth, lines = truth_of(name), lines_of(text_of(name))
    base = {"hex": 16, "decimal": 10, "octal": 8, "binary": 2}[truth["digits"]]
    used: set[tuple[int, int]] = set()
    assert truth["count"] == len(truth["frames"]) >= 1
    for frame in truth["frames"]:
        octets = bytes.fromhex(frame["octets"])
        assert len(frame["places"]) == len(octets)
        assert frame["places"][0][:2] == [frame["line"], frame["column"]]
        assert frame["places"][-1][:2] == [frame["last"]["line"], frame["last"]["column"]]
        for octet, place in zip(octets, frame["places"], strict=True):
            if place is None:
                continue
            line, column, end = place
            digits = lines[line - 1][column - 1 : end - 1]
            assert digits.removeprefix("-").isalnum()
            assert int(digits, base) % 256 == octet
            cells = {(line, c) for c in range(column, end)}
            assert not cells & used
            used |= cells


@functools.cache
def recorded_in(folder: Path) -> set[bytes]:
    """The first octets of the recorded frames that a folder's logs are made from."""
    found: set[bytes] = set()
    files = sorted(folder.glob("*.pcap"))
    for file in files or sorted((VECTORS / "traffic").glob("*.pcap*")):
        reader = dpkt.pcapng.Reader if file.suffix == ".pcapng" else dpkt.pcap.Reader
        with file.open("rb") as stream:
            found |= {octets[:60] for _, octets in reader(stream)}
    return found


def is_built(octets: bytes) -> bool:
    """Whether dpkt writes the very same frame again, its sums computed anew.

    It knows nothing of IEEE 802.1AB; there the elements have to end where they say (8.2).
    """
    frame = dpkt.ethernet.Ethernet(octets)
    packet = frame.data
    if octets[12:14] == b"\x88\xcc":
        at = 14
        while octets[at : at + 2] != b"\0\0":
            at += 2 + (int.from_bytes(octets[at : at + 2], "big") & 0x1FF)
        return at == len(octets) - 2
    if isinstance(packet, dpkt.ip.IP):
        packet.sum = 0
    if isinstance(packet.data, dpkt.udp.UDP):
        packet.data.sum = 0
    return octets.startswith(bytes(frame).rstrip(b"\0")) and packet.__class__ is not bytes


@pytest.mark.parametrize("name", LOGS)
def test_truth_is_recorded_traffic(name):
    """By dpkt: recorded, but for its end or one octet behind the headers, or built."""
    recorded = recorded_in(PATHS[name].parent)
    for frame in truth_of(name)["frames"]:
        octets = bytes.fromhex(frame["octets"])
        assert octets[:60] in recorded or is_built(octets)


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda p: p.name)
def test_the_files_are_what_the_maker_writes(folder, tmp_path):
    subprocess.run([sys.executable, folder / "make.py", tmp_path], check=True, timeout=60)
    written = {p.name: p.read_bytes() for p in tmp_path.iterdir()}
    kept = {p.name: p.read_bytes() for p in folder.iterdir() if p.suffix in (".log", ".json")}
    assert written == kept


if __name__ == "__main__":
    print(table())
