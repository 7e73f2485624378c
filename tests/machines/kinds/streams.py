"""What stands between wire and memory as a stream: headers, sums, shifters, overruns."""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from typing import ClassVar

from tests.machines.board import Law, Machine
from tests.machines.cells import Cell, Cells, check_sequence, device


class Stream(Machine):
    """A machine that changes the stream; all that comes out is written and printed."""

    by_origin: ClassVar[bool] = True

    def passed(self, frame: Cells) -> Cells:
        """What comes out for a frame that goes in."""
        return frame

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """The stream from the buffer's first octet on."""
        stream = self.passed(frame)
        memory[: len(stream)] = stream
        return memory[: len(stream)]


@dataclass
class StatusInFront(Stream):
    """A status word, or alignment octets, put in before sent octet ``at``."""

    family: ClassVar[str] = "insert"
    k: int
    at: int

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """Mostly in front of the frame."""
        return cls(random_.choice((1, 2, 2, 3, 4, 8, 14)), random_.choice((0, 0, 0, 12, 14)))

    def passed(self, frame: Cells) -> Cells:
        """The word holds a length and flags, as such words do."""
        word = (len(frame) << 16 | 0x8123).to_bytes(4, "little") * 4
        return frame[: self.at] + device(word[: self.k]) + frame[self.at :]


@dataclass
class HeaderEaten(Stream):
    """Octets taken off as if they were a header or a tag."""

    family: ClassVar[str] = "delete"
    k: int
    at: int

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """In front, or where a tag would stand."""
        return cls(random_.choice((1, 2, 3, 4, 8, 14)), random_.choice((0, 0, 0, 12)))

    def passed(self, frame: Cells) -> Cells:
        """Without them."""
        return frame[: self.at] + frame[self.at + self.k :]


@dataclass
class StatusBehind(Stream):
    """A status word behind the frame that the driver takes for its end."""

    family: ClassVar[str] = "append"
    k: int

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """A word or less."""
        return cls(random_.choice((1, 2, 3, 4, 8)))

    def passed(self, frame: Cells) -> Cells:
        """Flags, a time stamp, a length."""
        word = bytes((0x80, 0x03, self.random.randrange(256), self.random.randrange(256)))
        return frame + device((word + len(frame).to_bytes(4, "big"))[: self.k])


@dataclass
class SumKept(Stream):
    """The FCS, or its first octets, left on."""

    family: ClassVar[str] = "fcs"
    k: int

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """Usually whole."""
        return cls(random_.choice((4, 4, 4, 2)))

    def passed(self, frame: Cells) -> Cells:
        """With it."""
        return frame + check_sequence(frame)[: self.k]


@dataclass
class SumTakenTwice(Stream):
    """The device takes the FCS off, and the driver takes off as much again."""

    family: ClassVar[str] = "cut"
    k: int

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """Usually an FCS."""
        return cls(random_.choice((4, 4, 1, 2, 8)))

    def passed(self, frame: Cells) -> Cells:
        """Without its last octets."""
        return frame[: len(frame) - self.k]


@dataclass
class Overrun(Stream):
    """A serial receiver polled too slowly: each time the ``n``th octet is due it is overrun."""

    family: ClassVar[str] = "skip"
    n: int
    r: int

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """FIFOs of usual depths."""
        n = random_.choice((2, 4, 8, 9, 16, 17))
        return cls(n, random_.choice((n - 1, random_.randrange(n))))

    def passed(self, frame: Cells) -> Cells:
        """A counter, and an octet that is lost when it stands at r."""
        out: Cells = []
        counter = 0
        for cell in frame:
            if counter != self.r:
                out.append(cell)
            counter = (counter + 1) % self.n
        return out


@dataclass
class DoubleStrobe(Stream):
    """A FIFO whose read strobe is seen twice: for every word, or for one word of the frame."""

    family: ClassVar[str] = "repeat"
    width: int
    every: int | None = None
    at: int | None = None

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """Words of a bus."""
        width = random_.choice((1, 2, 4))
        if random_.random() < 0.5:
            return cls(width, every=width * random_.choice((1, 4, 8, 16)))
        return cls(width, at=width * random_.randrange(1, 12))

    def law(self) -> Law:
        """Only the parameter that is used."""
        law = super().law()
        used = {k: v for k, v in law.parameters.items() if v is not None}
        return law._replace(parameters=used)

    def passed(self, frame: Cells) -> Cells:
        """Word by word; the doubled ones come twice."""
        if self.at is not None and self.at % self.width:
            stop = self.at + self.width  # a word that stands between those of the bus
            return frame[:stop] + frame[self.at : stop] + frame[stop:]
        out: Cells = []
        for at in range(0, len(frame), self.width):
            word = frame[at : at + self.width]
            out += word
            if at == self.at or (self.every and (at + self.width) % self.every == 0):
                out += word
        return out


@dataclass
class BitShifter(Machine):
    """A serial shifter that gains or loses clock edges at octet ``at`` and never recovers."""

    family: ClassVar[str] = "slip"
    at: int
    bits: int
    toward: str
    order: str
    idle: int = field(default=0, repr=False)

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """From the frame's start, or from somewhere on."""
        return cls(
            random_.choice((0, 0, 6, 14, random_.randrange(1, 50))),
            random_.randrange(1, 8),
            random_.choice(("later", "earlier")),
            random_.choice(("msb", "lsb")),
        )

    def law(self) -> Law:
        """The level of an idle line is no parameter of the law."""
        law = super().law()
        return law._replace(parameters={k: v for k, v in law.parameters.items() if k != "idle"})

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Bit by bit over a line that is idle before and behind the frame."""
        line = [
            cell.value >> (7 - i if self.order == "msb" else i) & 1
            for cell in frame[self.at :]
            for i in range(8)
        ]
        if self.toward == "later":
            line = [self.idle] * self.bits + line
        else:
            line = line[self.bits :] + [self.idle] * self.bits
        out = list(frame[: self.at])
        for cell, start in zip(frame[self.at :], range(0, len(line), 8), strict=False):
            octet = line[start : start + 8]
            value = 0
            for i, bit in enumerate(octet):
                value |= bit << (7 - i if self.order == "msb" else i)
            out.append(Cell(value, cell.frame, cell.offset))
        memory[: len(out)] = out
        return memory[: len(out)]


KINDS = (
    StatusInFront,
    HeaderEaten,
    StatusBehind,
    SumKept,
    SumTakenTwice,
    Overrun,
    DoubleStrobe,
    BitShifter,
)
