"""Console logs made of recorded frames, with chatter between them and damage that is known.

``make(seed)`` gives the text and, for each frame in it, what was sent, what was received, what
was done to it and where it is printed. Nothing here uses the code that is tested.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import NamedTuple

from recordings import SUMMED, TAGGED, frames


class Printed(NamedTuple):
    """One frame of a log: the truth about it."""

    sent: bytes
    received: bytes
    damage: str
    """``none``, ``tail`` (never written, still the fill), ``flip`` (one bit), ``cut``."""
    bad: tuple[int, int] | None
    """Half-open range of received octets that the damage touched; None for ``none``, ``cut``."""
    line: int
    column: int
    """Of the first digit, counted from 1."""
    record: int
    """Which frame of the recording it is, counted from 0."""


class Log(NamedTuple):
    """A text and the truth about it."""

    seed: int
    layout: str
    text: str
    frames: tuple[Printed, ...]
    recording: str


CHATTER = (
    "frost: sensor {n} reads -{n}.4 degrees, threshold -2.0",
    "valve {n}: open, flow 0x{x:04x}",
    "lan: link up, 100 Mbit/s, full duplex",
    "heap: {x} octets free, lowest {n}",
    "task alarm: stack {x:08x} pc {x:08x} lr 0800{n:04d}",
    "lan: status {x:08x} control 0000{n:04d}",
    "image {x:08x}{x:08x}{x:08x}{x:08x} verified",
    "watchdog fed, {n} ms left",
    "",
)


def _chatter(random_: random.Random) -> list[str]:
    return [
        random_.choice(CHATTER).format(n=random_.randrange(1, 999), x=random_.randrange(1 << 16))
        for _ in range(random_.randrange(1, 5))
    ]


def _rows(octets: bytes, width: int) -> list[tuple[int, bytes]]:
    return [(i, octets[i : i + width]) for i in range(0, len(octets), width)]


def columns(octets: bytes) -> list[str]:
    """Offset, sixteen pairs in two halves, the characters between bars."""
    lines = []
    for at, row in _rows(octets, 16):
        pairs = [f"{octet:02x}" for octet in row]
        digits = "  ".join(" ".join(half) for half in (pairs[:8], pairs[8:]) if half)
        shown = "".join(chr(c) if 0x20 <= c < 0x7F else "." for c in row)
        lines.append(f"{at:04x}  {digits:<48}  |{shown}|")
    return lines


def pairs(octets: bytes) -> list[str]:
    """Sixteen pairs a line, nothing else."""
    return [row.hex(" ") for _, row in _rows(octets, 16)]


def words(octets: bytes) -> list[str]:
    """Offset with a colon, eight words of two octets as they follow on the link."""
    return [f"{at:08x}: {row.hex(' ', -2)}" for at, row in _rows(octets, 16)]


def string(octets: bytes) -> list[str]:
    """All digits in one line."""
    return [octets.hex().upper()]


LAYOUTS: dict[str, Callable[[bytes], list[str]]] = {
    f.__name__: f for f in (columns, pairs, words, string)
}


def letters(count: int) -> bytes:
    """The fill 41 to 5A, repeated from offset 0."""
    return bytes(0x41 + i % 26 for i in range(count))


def _tail(sent: bytes, random_: random.Random) -> tuple[bytes, tuple[int, int]]:
    start = len(sent) - random_.randrange(5, min(24, len(sent) - 30))
    return sent[:start] + letters(len(sent))[start:], (start, len(sent))


def _flip(sent: bytes, random_: random.Random) -> tuple[bytes, tuple[int, int]]:
    # In the IPv4 header behind version and length: every frame here has its sum over it.
    link = 18 if sent[12:14] == b"\x81\x00" else 14
    at = random_.randrange(link + 1, link + 20)
    flipped = bytes((sent[at] ^ 1 << random_.randrange(8),))
    return sent[:at] + flipped + sent[at + 1 :], (at, at + 1)


def _choose(recording: str, random_: random.Random) -> list[int]:
    """Frames with an IPv4 header whose data reach up to their end: no padding, not too long."""
    fit = [
        i
        for i, o in enumerate(frames(recording))
        if 60 < len(o) <= 400 and b"\x08\x00\x45" in (o[12:15], o[16:19])
    ]
    return random_.sample(fit, random_.randrange(3, 8))


def make(seed: int) -> Log:
    """The log of this seed: the same seed gives the same log."""
    random_ = random.Random(seed)
    recording = random_.choice((SUMMED, SUMMED, TAGGED))
    layout = random_.choice(list(LAYOUTS))
    stamped = random_.random() < 0.5
    end = random_.choice(("\n", "\r\n"))
    lines: list[str] = []
    printed: list[Printed] = []

    def say(some: list[str]) -> None:
        for line in some:
            stamp = f"[{len(lines) // 40:5d}.{len(lines) * 31 % 1000:03d}] " if stamped else ""
            lines.append(stamp + line)

    numbers = _choose(recording, random_)
    for turn, number in enumerate(numbers):
        sent = frames(recording)[number]
        say([*_chatter(random_), f"lan: received {len(sent)} octets"])
        received, damage, bad = sent, "none", None
        last = turn == len(numbers) - 1
        choice = random_.choice(("none", "tail", "flip", "cut" if last else "none"))
        if choice == "tail":
            (received, bad), damage = _tail(sent, random_), choice
        elif choice == "flip":
            (received, bad), damage = _flip(sent, random_), choice
        dump = LAYOUTS[layout](received)
        if choice == "cut" and len(dump) > 3:
            dump, damage = dump[: random_.randrange(2, len(dump) - 1)], choice
            received = received[: 16 * len(dump)]
        line = len(lines) + 1
        say(dump)
        before = len(lines[line - 1]) - len(dump[0])
        column = before + 1 + {"columns": 6, "pairs": 0, "words": 10, "string": 0}[layout]
        printed.append(Printed(sent, received, damage, bad, line, column, number))
        if damage != "cut":
            say([*_chatter(random_), "lan: waiting"])
    return Log(seed, layout, end.join(lines) + end, tuple(printed), recording)
