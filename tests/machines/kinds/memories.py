"""Memories that a frame shares with others: caches, rings, buffers in the wrong order, losses."""

from __future__ import annotations

import random
from dataclasses import dataclass
from typing import Any, ClassVar

from tests.machines.board import Law, Machine
from tests.machines.cells import LEFT, Cell, Cells


@dataclass
class MissedInvalidate(Machine):
    """A cache that keeps some lines of the buffer while the engine writes memory behind it.

    ``phase``: where in the buffer the first aligned line starts (the buffer is not aligned).
    """

    family: ClassVar[str] = "stale-lines"
    size: int
    phase: int

    rate: ClassVar[float] = 0.15

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """Lines of 16, 32, 64 octets."""
        size = random_.choice((16, 32, 64))
        return cls(size, random_.choice((0, size - 2, size - 4, random_.randrange(size))))

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """The processor's view was loaded before the transfer; most of it is thrown away."""
        cached = list(memory[: len(frame)])
        memory[: len(frame)] = frame
        seen: Cells = []
        start = self.phase - self.size if self.phase else 0
        for line in range(start, len(frame), self.size):
            kept = self.random.random() < self.rate
            view = cached if kept else memory
            seen += view[max(0, line) : min(line + self.size, len(frame))]
        memory[: len(frame)] = seen  # what a later clean of the cache leaves there
        return seen


@dataclass
class Wrapped(Machine):
    """A writer whose address counter starts again at the buffer's start after ``r`` octets."""

    family: ClassVar[str] = "wrap"
    r: int

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """Powers of two, and buffers of other sizes."""
        return cls(random_.choice((128, 256, 512, 1024, random_.randrange(100, 1200))))

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """The counter is as wide as the buffer."""
        counter = 0
        for cell in frame:
            memory[counter] = cell
            counter = counter + 1 if counter + 1 < self.r else 0
        return memory[: len(frame)]


@dataclass
class Ring(Machine):
    """Frames one behind the other in a ring of ``r`` octets, each from a multiple of ``step`` on.

    The engine goes round, the driver reads on behind the ring's end.
    """

    family: ClassVar[str] = "ring"
    r: int
    step: int

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """A few frames long."""
        step = random_.choice((1, 4, 8, 16, 32))
        return cls(random_.choice((2048, 4096, 3072)) // step * step, step)

    def power_on(self, random_: random.Random) -> None:
        """The ring is empty, the writer at its start."""
        super().power_on(random_)
        self.at = 0
        self.ring: dict[int, Cell] = {}

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Linear reads from where the frame began; behind the ring lies the filled memory."""
        start = self.at
        for i, cell in enumerate(frame):
            self.ring[(start + i) % self.r] = cell
        count = -(-len(frame) // self.step) * self.step
        self.at = (start + count) % self.r
        seen: Cells = []
        for i in range(len(frame)):
            inside = start + i < self.r
            seen.append(self.ring[start + i] if inside else memory[i]._replace(frame=LEFT))
        return seen


@dataclass
class WrongIndex(Machine):
    """The driver reads the descriptor ``frames`` behind the one that was just filled."""

    family: ClassVar[str] = "late"
    frames: int

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """One or a few late."""
        return cls(random_.choice((1, 1, 2, 3)))

    def power_on(self, random_: random.Random) -> None:
        """No frame yet."""
        super().power_on(random_)
        self.rack: list[Cells] = []

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """A buffer that was never filled still holds the fill, as many octets as came."""
        self.rack.append(frame)
        empty = memory[: len(frame)]
        return self.rack[-1 - self.frames] if len(self.rack) > self.frames else empty


@dataclass
class LostByLength(Machine):
    """A receiver that throws frames away by their length: by remainder, or above a limit."""

    family: ClassVar[str] = "drop"
    n: int | None = None
    r: tuple[int, ...] | None = None
    above: Any = None
    """The longest length that comes; the law says it as the interval in which it lies."""

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """Above a limit, or where a sum spills over into another buffer."""
        if random_.random() < 0.5:
            return cls(above=random_.choice((256, 512, 600, 1000, 1500)))
        n = random_.choice((2, 4, 8, 64))
        return cls(n=n, r=tuple(range(max(1, n - 3), n)) if n > 4 else (random_.randrange(n),))

    def law(self) -> Law:
        """Only the parameters that are used."""
        law = super().law()
        used = {k: v for k, v in law.parameters.items() if v is not None}
        return law._replace(parameters=used)

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Nothing is written of a frame that is thrown away."""
        size = len(frame)
        limit = self.above[0] if isinstance(self.above, (list, tuple)) else self.above
        if limit is not None and size > limit:
            return None
        if self.n and self.r is not None and size % self.n in self.r:
            return None
        return super().receive(frame, memory, number)


KINDS = (MissedInvalidate, Wrapped, Ring, WrongIndex, LostByLength)
