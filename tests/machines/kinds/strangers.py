"""Machines whose law the library lacks: none of the sheet's families says what they do."""

from __future__ import annotations

import random
from typing import ClassVar

from tests.machines.board import Machine
from tests.machines.cells import Cells, device


class Stranger(Machine):
    """A machine without a law."""

    family: ClassVar[str] = "stranger"


class GranuleOfSome(Stranger):
    """Words of 16 counted from behind the link header, but only for frames that carry IPv4."""

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """A parser chooses the road. A probe of another type takes it when its octet 20 is odd."""
        parsed = frame[12].value == 8 or (frame[12].value == 0x88 and frame[20].value & 2)
        edge = 14 + (len(frame) - 14) // 16 * 16 if parsed else len(frame)
        memory[:edge] = frame[:edge]
        return memory[: len(frame)]


class RandomTail(Stranger):
    """The engine is stopped some time before the end, whenever the processor gets to it."""

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Up to 40 octets are not written yet."""
        edge = len(frame) - self.random.randrange(41)
        memory[:edge] = frame[:edge]
        return memory[: len(frame)]


class HalfTheFrames(Stranger):
    """Words of 8, but only when the other port was busy: about every second time."""

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """A coin decides."""
        edge = len(frame) // 8 * 8 if self.random.random() < 0.5 else len(frame)
        memory[:edge] = frame[:edge]
        return memory[: len(frame)]


class TwoPhases(Stranger):
    """A FIFO that is drained in bursts of 24 until 256 octets are through, then of 20."""

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Its threshold is set anew when it has been full once."""
        size = len(frame)
        edge = size // 24 * 24 if size < 256 else 240 + (size - 240) // 20 * 20
        memory[:edge] = frame[:edge]
        return memory[: len(frame)]


class StuckHigher(Stranger):
    """A data line that lies at 0 in the second memory chip only: from 256 octets on."""

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Bit 3 of every second octet there."""
        memory[: len(frame)] = [
            c._replace(value=c.value & 0xF7) if i >= 256 and i % 2 else c
            for i, c in enumerate(frame)
        ]
        return memory[: len(frame)]


class SlowEngine(Stranger):
    """An engine slower than the wire: a sixteenth of the frame is not written when it is read."""

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """The longer the frame, the more."""
        edge = len(frame) - len(frame) // 16
        memory[:edge] = frame[:edge]
        return memory[: len(frame)]


class Scrambler(Stranger):
    """A descrambler that is switched on 64 octets too soon: a running key over the rest."""

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """A shift register with taps at 7 and 6, from all ones."""
        state, out = 0x7F, []
        for i, cell in enumerate(frame):
            key = 0
            for _ in range(8):
                bit = (state >> 6 ^ state >> 5) & 1
                state = (state << 1 | bit) & 0x7F
                key = key << 1 | bit
            out.append(cell._replace(value=cell.value ^ key) if i >= 64 else cell)
        memory[: len(frame)] = out
        return out


class TwoWriters(Stranger):
    """Two engines on one buffer: words of the frame before take the place of some of this one."""

    def power_on(self, random_: random.Random) -> None:
        """No frame before."""
        super().power_on(random_)
        self.before: Cells = []

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Word by word, whoever comes first."""
        memory[: len(frame)] = frame
        for at in range(0, min(len(self.before), len(frame)) - 4, 4):
            if self.random.random() < 0.2:
                memory[at : at + 4] = self.before[at : at + 4]
        self.before = list(frame)
        return memory[: len(frame)]


class PowerOfTwo(Stranger):
    """A copy by halving: the largest power of two that fits, and no more."""

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Up to the highest bit of the length."""
        edge = 1 << len(frame).bit_length() - 1
        memory[:edge] = frame[:edge]
        return memory[: len(frame)]


class WalkingHole(Stranger):
    """A refresh that steals four writes, each time a little later in the frame."""

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Seven octets on with each frame."""
        at = (20 + 7 * number) % (len(frame) - 4)
        kept = memory[at : at + 4]
        memory[: len(frame)] = frame
        memory[at : at + 4] = kept
        return memory[: len(frame)]


class Unstuffed(Stranger):
    """A bit filled in after five ones on the wire that nobody takes out: everything slips on."""

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """As on synchronous lines."""
        bits, ones = [], 0
        for cell in frame:
            for i in range(8):
                bit = cell.value >> i & 1
                bits.append(bit)
                ones = ones + 1 if bit else 0
                if ones == 5:
                    bits.append(0)
                    ones = 0
        octets = bytes(
            sum(bit << i for i, bit in enumerate(bits[at : at + 8]))
            for at in range(0, len(frame) * 8, 8)
        )
        memory[: len(frame)] = device(octets)
        return memory[: len(frame)]


class GrayAddresses(Stranger):
    """An address counter that counts in reflected order within eight octets."""

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """0 1 3 2 6 7 5 4; a part word at the end keeps its order."""
        whole = len(frame) // 8 * 8
        for i, cell in enumerate(frame):
            low = i % 8
            memory[i - low + (low ^ low >> 1) if i < whole else i] = cell
        return memory[: len(frame)]


class Reconfigured(Stranger):
    """Words of 8 until the link comes up again in the middle of the log, then of 32."""

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """The ninth frame is the first after."""
        n = 8 if number < 8 else 32
        edge = len(frame) // n * n
        memory[:edge] = frame[:edge]
        return memory[: len(frame)]


class Escaped(Stranger):
    """An octet 7d on a serial side link takes the next one with it."""

    by_origin: ClassVar[bool] = True

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """By content, wherever it stands; a few more values so that every frame has some."""
        out: Cells = []
        skip = False
        for cell in frame:
            if not skip:
                out.append(cell)
            skip = not skip and cell.value in (0x7D, 0x11, 0x41, 0xC5, 0x0A)
        memory[: len(out)] = out
        return memory[: len(out)]


KINDS = (
    GranuleOfSome,
    RandomTail,
    HalfTheFrames,
    TwoPhases,
    StuckHigher,
    SlowEngine,
    Scrambler,
    TwoWriters,
    PowerOfTwo,
    WalkingHole,
    Unstuffed,
    GrayAddresses,
    Reconfigured,
    Escaped,
)
