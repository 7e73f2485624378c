"""A console log that is being written, and the truth about every octet that is printed in it."""

from __future__ import annotations

import json
import random
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

import dpkt

HERE = Path(__file__).parent


def kind_of(octets: bytes) -> str:
    """A rough name for a frame, so that it can be asked for whatever else was recorded."""
    at = 18 if octets[12:14] == b"\x81\x00" else 14
    if octets[at - 2 : at] == b"\x08\x06":
        return "arp"
    ip, plain_header = octets[at:], octets[at] == 0x45 and not octets[at + 6] & 0x3F
    if octets[at - 2 : at] != b"\x08\x00" or not plain_header or octets[at + 7]:
        return "other"
    if ip[9] == 1:
        return "echo" if ip[20] in (0, 8) and len(octets) <= 150 else "icmp"
    if ip[9] == 6:
        return "tcp" if len(octets) <= 300 else "segment"
    ports = {ip[20:22], ip[22:24]}
    if (53).to_bytes(2, "big") in ports:
        return "dns"
    if (67).to_bytes(2, "big") in ports:
        return "dhcp"
    return "group" if octets[0] & 1 else "udp"


@cache
def _frames(name: str) -> dict[str, bytes]:
    """Frames taken from a recording, named by kind and number: ``arp 0``, ``echo 3`` …"""
    named: dict[str, bytes] = {}
    seen: Counter[str] = Counter()
    with (HERE / name).open("rb") as file:
        for _, octets in dpkt.pcap.Reader(file):
            kind = kind_of(octets)
            named[f"{kind} {seen[kind]}"] = octets
            seen[kind] += 1
    return named


def plain(*names: str) -> list[bytes]:
    """Frames of the untagged recording, by kind and number."""
    return [_frames("plain.pcap")[n] for n in names]


def tagged(*names: str) -> list[bytes]:
    """Frames of the recording with 802.1Q tags, by kind and number."""
    return [_frames("tagged.pcap")[n] for n in names]


@dataclass
class Printed:
    """A frame that stands in the log: its octets, and line, column, end column of each."""

    octets: bytes
    places: list[tuple[int, int, int]]

    def truth(self) -> dict[str, object]:
        """What the JSON file says of it."""
        first, last = self.places[0], self.places[-1]
        return {
            "octets": self.octets.hex(),
            "line": first[0],
            "column": first[1],
            "last": {"line": last[0], "column": last[1]},
            "places": self.places,
        }


@dataclass
class Log:
    """Text and truth. Lines and columns count code points from 1."""

    name: str
    newline: str = "\n"
    base: int = 16
    text: list[str] = field(default_factory=list)
    frames: list[Printed] = field(default_factory=list)
    row: int = 1
    column: int = 1
    ms: int = 4120

    def __post_init__(self) -> None:
        self.random = random.Random(self.name)

    # What an engineer's printf would take its values from.

    def x(self, digits: int = 8) -> str:
        """Random hex digits."""
        return f"{self.random.getrandbits(4 * digits):0{digits}x}"

    def n(self, low: int, high: int) -> int:
        """A random number, both ends included."""
        return self.random.randint(low, high)

    def tick(self, most: int = 90) -> int:
        """Milliseconds since the start, a little later than before."""
        self.ms += self.random.randint(1, most)
        return self.ms

    def wall(self) -> str:
        """The time of day, a little later than before."""
        s, ms = divmod(self.tick(), 1000)
        return f"{5 + s // 3600:02}:{s // 60 % 60:02}:{s % 60:02}.{ms:03}"

    # Writing.

    def put(self, text: str) -> None:
        """Text without a line end in it."""
        self.text.append(text)
        self.column += len(text)

    def end(self) -> None:
        """The line end."""
        self.text.append(self.newline)
        self.row += 1
        self.column = 1

    def line(self, *texts: str) -> None:
        """Whole lines."""
        for text in texts or ("",):
            self.put(text)
            self.end()

    def frame(self, octets: bytes) -> Printed:
        """A frame that is about to be printed."""
        printed = Printed(octets, [(0, 0, 0)] * len(octets))
        self.frames.append(printed)
        return printed

    def octet(self, frame: Printed, index: int, form: str = "02x") -> None:
        """The digits of one octet."""
        digits = f"{frame.octets[index]:{form}}"
        self.put(" " * (len(digits) - len(digits.lstrip(" "))))
        digits = digits.lstrip(" ")
        frame.places[index] = (self.row, self.column, self.column + len(digits))
        self.put(digits)

    def run(
        self,
        frame: Printed,
        start: int,
        stop: int,
        *,
        group: int = 1,
        gap: str = " ",
        form: str = "02x",
        before: str = "",
        after: str = "",
        little: bool = False,
    ) -> None:
        """Octets [start, stop), ``group`` of them a word, ``gap`` between words."""
        stop = min(stop, len(frame.octets))
        for at in range(start, stop, group):
            if at > start:
                self.put(gap)
            self.put(before)
            word = range(at, min(at + group, stop))
            for index in reversed(word) if little else word:
                self.octet(frame, index, form)
            self.put(after)

    def write(self, folder: Path, notes: Sequence[str]) -> None:
        """The log, and its truth beside it."""
        assert all(all(p) for f in self.frames for p in f.places), self.name
        (folder / f"{self.name}.log").write_bytes("".join(self.text).encode())
        truth = {
            "notes": list(notes),
            "digits": {16: "hex", 10: "decimal"}[self.base],
            "count": len(self.frames),
            "frames": [f.truth() for f in self.frames],
        }
        said = json.dumps(truth, separators=(", ", ": ")).replace('{"octets"', '\n{"octets"')
        (folder / f"{self.name}.json").write_text(said + "\n")


def rows(octets: bytes, width: int) -> range:
    """Where each row starts."""
    return range(0, len(octets), width)


def gutter(octets: bytes, other: str = ".") -> str:
    """Printable characters, ``other`` for the rest."""
    return "".join(chr(o) if 32 < o < 127 else other for o in octets)


@dataclass(frozen=True)
class Board:
    """One engineer's way to print."""

    name: str
    notes: tuple[str, ...]
    print: Callable[[Log], None]
    newline: str
    base: int

    def log(self, number: int) -> Log:
        """The log, written."""
        log = Log(f"{number:02}-{self.name}", self.newline, self.base)
        self.print(log)
        return log


BOARDS: list[Board] = []


def board(
    name: str, *notes: str, newline: str = "\n", base: int = 16
) -> Callable[[Callable[[Log], None]], Callable[[Log], None]]:
    """Enter a way to print under the name of its shape."""

    def enter(function: Callable[[Log], None]) -> Callable[[Log], None]:
        BOARDS.append(Board(name, notes, function, newline, base))
        return function

    return enter
