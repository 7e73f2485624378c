"""A board: receive buffers, a machine that fills them, and a driver that prints what it finds."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import fields
from typing import Any, ClassVar, NamedTuple

from tests.machines.cells import LEFT, Cell, Cells, filled, on_the_wire


class Law(NamedTuple):
    """What explains a machine, in the words of the sheet; ``then`` for a chain of two."""

    family: str
    parameters: dict[str, Any]
    then: Law | None = None
    when: dict[str, Any] | None = None
    """For which frames; of a machine the edge itself, of an answer both sides of it."""


class Machine:
    """A mechanism between wire and dump. A subclass is a data class of the law's parameters."""

    family: ClassVar[str] = "sound"
    by_origin: ClassVar[bool] = False
    """Whether octets are held against where they come from, not against where they stand."""

    @classmethod
    def draw(cls, random_: random.Random) -> Machine:
        """A machine with parameters of its own."""
        return cls()

    def law(self) -> Law:
        """The description that is true of this machine."""
        return Law(self.family, {f.name: _plain(getattr(self, f.name)) for f in _fields(self)})

    def power_on(self, random_: random.Random) -> None:
        """Power on; whatever happens at random comes from here."""
        self.random = random_

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Move a frame into a buffer and give what the driver prints; None: it never came."""
        memory[: len(frame)] = frame
        return memory[: len(frame)]


def _fields(machine: Machine) -> Sequence[Any]:
    return fields(machine) if hasattr(machine, "__dataclass_fields__") else ()


def _plain(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value


class Setting(NamedTuple):
    """How the driver keeps its buffers."""

    fill: str = "odd-parity"
    refill: bool = True
    """Whether a buffer gets its fill again before each frame, or only once."""
    buffers: int = 1
    """How many buffers are used in turn."""
    noise: float = 0.0
    """Share of frames with unrelated damage."""


class Print(NamedTuple):
    """One dump, and the truth about it."""

    sent: int
    """Number of the frame that the wire carried."""
    cells: Cells

    @property
    def octets(self) -> bytes:
        """What was printed."""
        return bytes(cell.value for cell in self.cells)

    @property
    def unwritten(self) -> list[int]:
        """Printed offsets that hold the fill or an earlier frame."""
        return [
            i
            for i, c in enumerate(self.cells)
            if c.frame == LEFT or (c.frame >= 0 and c.frame != self.sent)
        ]


def run(
    machine: Machine, sent: Sequence[bytes], setting: Setting, random_: random.Random
) -> list[Print | None]:
    """What the driver prints for each sent frame; None where nothing came."""
    machine.power_on(random.Random(random_.random()))
    rack = [filled(setting.fill) for _ in range(setting.buffers)]
    printed: list[Print | None] = []
    turn = 0
    for number, octets in enumerate(sent):
        if setting.refill:
            rack[turn] = filled(setting.fill)
        frame = on_the_wire(octets, number)
        if random_.random() < setting.noise:
            frame = _spoilt(frame, random_)
        cells = machine.receive(frame, rack[turn], number)
        printed.append(None if cells is None else Print(number, list(cells)))
        if cells is not None:
            turn = (turn + 1) % setting.buffers
    return printed


def _spoilt(frame: Cells, random_: random.Random) -> Cells:
    """One octet or a burst of them changed on the way: a damage that no law explains."""
    size = random_.choice((1, 1, 2, 8, 40))
    at = random_.randrange(len(frame))
    spoilt = list(frame)
    for i in range(at, min(at + size, len(frame))):
        old = frame[i]
        spoilt[i] = Cell(old.value ^ random_.randrange(1, 256), old.frame, old.offset)
    return spoilt


def wrong(print_: Print, sent: Sequence[bytes], by_origin: bool) -> set[int]:
    """Printed offsets whose octet differs from the sent octet that belongs there."""
    own = sent[print_.sent]
    found = set()
    for i, cell in enumerate(print_.cells):
        if by_origin:
            if cell.frame == print_.sent and cell.value != own[cell.offset]:
                found.add(i)
        elif i < len(own) and cell.value != own[i]:
            found.add(i)
    return found
