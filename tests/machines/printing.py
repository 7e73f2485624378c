"""A board's log of what it received, in one of a few layouts, and a capture of what was sent."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import dpkt

from tests.machines.board import Print

CHATTER = (
    "frost: sensor 3 reads -1.4 degrees",
    "valve 2: open",
    "lan: link up, 100 Mbit/s",
    "task alarm: stack ok",
)


def _rows(octets: bytes, width: int = 16) -> Iterator[tuple[int, bytes]]:
    for at in range(0, len(octets), width):
        yield at, octets[at : at + width]


def _pairs(octets: bytes) -> list[str]:
    return [f"{at:04x}: {row.hex(' ')}" for at, row in _rows(octets)]


def _gutter(octets: bytes) -> list[str]:
    lines = []
    for at, row in _rows(octets):
        seen = "".join(chr(c) if 32 <= c < 127 else "." for c in row)
        lines.append(f"{at:08x}  {row.hex(' '):47}  |{seen}|")
    return lines


def _thirty_two(octets: bytes) -> list[str]:
    return [f"0x{at:04x}  {row.hex(' ')}" for at, row in _rows(octets, 32)]


LAYOUTS: tuple[Callable[[bytes], list[str]], ...] = (_pairs, _gutter, _thirty_two)


def log(printed: Sequence[Print | None], random_: random.Random) -> str:
    """The console's text: chatter, and a line in front of each dump."""
    layout = random_.choice(LAYOUTS)
    lines = ["boot: orchard controller"]
    for dump in printed:
        if random_.random() < 0.5:
            lines.append(random_.choice(CHATTER))
        if dump is not None:
            lines.append(f"lan: received frame, {len(dump.cells)} octets")
            lines += layout(dump.octets)
            lines.append("lan: done")
    return "\n".join(lines) + "\n"


def capture(sent: Sequence[bytes], path: Path) -> None:
    """What was sent, one record each tenth of a second."""
    with path.open("wb") as file:
        writer = dpkt.pcap.Writer(file)
        for turn, octets in enumerate(sent):
            writer.writepkt(octets, 1000 + turn / 10)
