"""Buses and address lines: exchanged lanes, crossed and stuck data lines, a dead address line."""

from __future__ import annotations

import random
from dataclasses import dataclass
from typing import ClassVar

from tests.machines.board import Machine
from tests.machines.cells import Cell, Cells


def _words(frame: Cells, width: int) -> list[Cells]:
    return [frame[i : i + width] for i in range(0, len(frame), width)]


@dataclass
class ReversedLanes(Machine):
    """A bus of ``width`` octets whose lanes are wired in reverse.

    A part word at the end goes over by single octets (``keep``), or as a word whose other lanes
    are not enabled (``word``): then its octets land on the far side, behind the frame's end.
    """

    family: ClassVar[str] = "swap"
    width: int
    part: str

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """16, 32 or 64 bits."""
        return cls(random_.choice((2, 2, 4, 4, 8)), random_.choice(("keep", "keep", "word")))

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Lane i of a word is written at lane width - 1 - i."""
        for at, word in zip(
            range(0, len(frame), self.width), _words(frame, self.width), strict=True
        ):
            for lane, cell in enumerate(word):
                other = self.width - 1 - lane
                if len(word) < self.width and self.part == "keep":
                    other = lane
                memory[at + other] = cell
        return memory[: len(frame)]


@dataclass
class ReversedHalves(Machine):
    """A 32-bit bus on two 16-bit memories, the wrong way round."""

    family: ClassVar[str] = "halfword"
    part: str

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """As above."""
        return cls(random_.choice(("keep", "keep", "word")))

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Octet i of a word is written at i xor 2."""
        whole = len(frame) // 4 * 4
        for address, cell in enumerate(frame):
            kept = address >= whole and self.part == "keep"
            memory[address if kept else address ^ 2] = cell
        return memory[: len(frame)]


@dataclass
class StuckLine(Machine):
    """One data line of a bus of ``width`` octets lies at 0 or at 1."""

    family: ClassVar[str] = "stuck"
    width: int
    lane: int
    bit: int
    value: int

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """Any line."""
        width = random_.choice((1, 2, 4, 8))
        return cls(width, random_.randrange(width), random_.randrange(8), random_.choice((0, 1)))

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Every word passes the line."""
        for address, cell in enumerate(frame):
            if address % self.width == self.lane:
                low = cell.value & ~(1 << self.bit)
                cell = cell._replace(value=low | self.value << self.bit)
            memory[address] = cell
        return memory[: len(frame)]


@dataclass
class CrossedLines(Machine):
    """Two data lines of an 8-bit bus change places."""

    family: ClassVar[str] = "crossed"
    a: int
    b: int

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """Any two."""
        return cls(*sorted(random_.sample(range(8), 2)))

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Eight wires, two of them exchanged."""
        order = list(range(8))
        order[self.a], order[self.b] = self.b, self.a
        memory[: len(frame)] = [_wired(cell, order) for cell in frame]
        return memory[: len(frame)]


def _wired(cell: Cell, order: list[int]) -> Cell:
    """The octet when line ``order[i]`` arrives at line i."""
    return cell._replace(value=sum((cell.value >> order[i] & 1) << i for i in range(8)))


class ReversedBits(Machine):
    """A shift register that hands its octets over with the first bit at the wrong end."""

    family: ClassVar[str] = "reversal"

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Line 7 - i arrives at line i."""
        memory[: len(frame)] = [_wired(cell, list(range(7, -1, -1))) for cell in frame]
        return memory[: len(frame)]


class ReversedNibbles(Machine):
    """A four-bit interface whose halves are put together in the wrong order."""

    family: ClassVar[str] = "nibble"

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Low half first where the high one was meant."""
        memory[: len(frame)] = [_wired(cell, [4, 5, 6, 7, 0, 1, 2, 3]) for cell in frame]
        return memory[: len(frame)]


@dataclass
class DeadAddressLine(Machine):
    """Address line ``line`` lies at 0 while the engine writes, while the driver reads, or both."""

    family: ClassVar[str] = "alias"
    line: int
    mode: str

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """A low line, so that every frame meets it."""
        return cls(random_.randrange(6), random_.choice(("read", "write", "both")))

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Two addresses become one."""
        dead = ~(1 << self.line)
        for address, cell in enumerate(frame):
            memory[address & dead if self.mode in ("write", "both") else address] = cell
        reads = dead if self.mode in ("read", "both") else -1
        return [memory[address & reads] for address in range(len(frame))]


KINDS = (
    ReversedLanes,
    ReversedHalves,
    StuckLine,
    CrossedLines,
    ReversedBits,
    ReversedNibbles,
    DeadAddressLine,
)
