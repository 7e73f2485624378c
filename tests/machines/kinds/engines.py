"""Transfer engines and FIFOs: whole words only, bursts, pieces, limits, threshold errors."""

from __future__ import annotations

import random
from dataclasses import dataclass
from typing import ClassVar

from tests.machines.board import Machine
from tests.machines.cells import Cells, check_sequence, device

BURSTS = (2, 4, 8, 12, 16, 20, 24, 32, 48, 64)


class Sound(Machine):
    """A board without a fault."""


class Unrelated(Machine):
    """A board on which octets change now and then, for no reason."""

    family: ClassVar[str] = "unrelated"

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """As received, but for single octets."""
        spoilt = [
            c._replace(value=self.random.randrange(256)) if self.random.random() < 0.004 else c
            for c in frame
        ]
        return super().receive(spoilt, memory, number)


def _behind(frame: Cells) -> Cells:
    """What comes through a FIFO behind a frame: its FCS, then a status of the device."""
    return [*check_sequence(frame), *device(bytes((0x80, 0, 0, 1)))]


@dataclass
class WordFifo(Machine):
    """A receive FIFO that is drained to memory by whole words, at addresses that words allow.

    The buffer starts ``lead`` octets behind an aligned address; ``trail`` octets of the FCS pass
    through the FIFO as well. What does not fill a word when the frame ends is lost.
    """

    family: ClassVar[str] = "granule"
    n: int
    lead: int = 0
    trail: int = 0

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """Mostly usual bursts, sometimes any."""
        n = random_.choice((*BURSTS, random_.randrange(2, 65)))
        lead = random_.choice((0, 0, 0, 2 % n, random_.randrange(n)))
        return cls(n, lead, 4 if random_.random() < 0.2 and n > 4 else 0)

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Octets collect in a word; a full word goes to memory."""
        stream = [*frame, *_behind(frame)[: self.trail]]
        start = 0  # offset in the buffer; the address is lead + start
        while True:
            room = self.n - (self.lead + start) % self.n
            if start + room > len(stream):
                return memory[: len(frame)]
            memory[start : start + room] = stream[start : start + room]
            start += room


@dataclass
class RoundedCount(Machine):
    """The descriptor counts whole bursts, and the driver prints what the descriptor counts."""

    family: ClassVar[str] = "round-up"
    n: int
    lead: int = 0
    trail: int = 0

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """Bursts as above."""
        return cls(random_.choice(BURSTS[1:]), 0, random_.choice((0, 0, 4)))

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """All octets are written; the count is rounded up."""
        stream = [*frame, *_behind(frame)[: self.trail]]
        memory[: len(stream)] = stream
        count = self.lead + len(stream)
        while count % self.n:
            count += 1
        return memory[: max(len(frame), count - self.lead)]


@dataclass
class PipelineTail(Machine):
    """A pipeline of ``k`` stages that only the next octet pushes on: the last k never leave it."""

    family: ClassVar[str] = "tail"
    k: int

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """A few stages."""
        return cls(random_.choice((1, 2, 3, 4, 5, 6, 8)))

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """First in, first out, ``k`` deep; cleared when the next frame begins."""
        pipe: Cells = []
        address = 0
        for cell in frame:
            pipe.append(cell)
            if len(pipe) > self.k:
                memory[address] = pipe.pop(0)
                address += 1
        return memory[: len(frame)]


@dataclass
class LateStart(Machine):
    """The engine opens its gate ``k`` octets late, and its address counter runs on meanwhile."""

    family: ClassVar[str] = "head"
    k: int

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """A word or two."""
        return cls(random_.choice((1, 2, 3, 4, 6, 8, 12)))

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Write enable rises after k octets."""
        for address, cell in enumerate(frame):
            if address >= self.k:
                memory[address] = cell
        return memory[: len(frame)]


@dataclass
class ChainedPieces(Machine):
    """Buffers of ``m`` octets chained; a last one with ``most`` octets or fewer is closed early."""

    family: ClassVar[str] = "piece"
    m: int
    most: int

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """Usual buffer sizes, and an FCS or a word that spills over."""
        m = random_.choice((64, 128, 256, 512))
        return cls(m, random_.choice((3, 4, 8, 16, m // 2, m - 1)))

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Piece by piece."""
        at = 0
        while at < len(frame):
            piece = frame[at : at + self.m]
            spilled = at > 0 and len(piece) <= self.most and len(piece) < self.m
            if not spilled:
                memory[at : at + len(piece)] = piece
            at += len(piece)
        return memory[: len(frame)]


@dataclass
class Protected(Machine):
    """A region of the buffer that the engine may not write: its writes are dropped there."""

    family: ClassVar[str] = "hole"
    start: int
    stop: int

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """Somewhere in the first 60 octets, which every frame has."""
        start = random_.randrange(2, 50)
        return cls(start, start + random_.choice((1, 2, 4, 8)))

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """A write to a protected address is lost."""
        for address, cell in enumerate(frame):
            if not self.start <= address < self.stop:
                memory[address] = cell
        return memory[: len(frame)]


@dataclass
class ByteLane(Machine):
    """A memory ``n`` octets wide, one or more of whose byte enables are not connected."""

    family: ClassVar[str] = "lane"
    n: int
    r: tuple[int, ...]

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """One dead lane, or two."""
        n = random_.choice((2, 4, 8))
        dead = random_.sample(range(n), 1 if n == 2 else random_.choice((1, 2)))
        return cls(n, tuple(sorted(dead)))

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Each word is written lane by lane."""
        for word in range(0, len(frame), self.n):
            for lane in range(self.n):
                if lane not in self.r and word + lane < len(frame):
                    memory[word + lane] = frame[word + lane]
        return memory[: len(frame)]


@dataclass
class SmallBuffer(Machine):
    """A buffer of ``m`` octets: the engine stops there, the driver perhaps not."""

    family: ClassVar[str] = "limit"
    m: int
    mode: str

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """Usual sizes and odd ones."""
        m = random_.choice((128, 256, 512, 1024, 1500, random_.randrange(100, 1500)))
        return cls(m, random_.choice(("unwritten", "absent")))

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Octets behind the end go nowhere."""
        room = frame[: self.m]
        memory[: len(room)] = room
        return memory[: len(frame) if self.mode == "unwritten" else len(room)]


KINDS = (
    Sound,
    Unrelated,
    WordFifo,
    RoundedCount,
    PipelineTail,
    LateStart,
    ChainedPieces,
    Protected,
    ByteLane,
    SmallBuffer,
)
