"""Two machines one behind the other: what the first leaves in its buffer goes into the second."""

from __future__ import annotations

import random

from tests.machines.board import Law, Machine
from tests.machines.cells import LEFT, Cells


class Chain(Machine):
    """A place and a transform, or the other way round."""

    family = "chain"

    def __init__(self, first: Machine, second: Machine) -> None:
        self.first = first
        self.second = second

    @property
    def by_origin(self) -> bool:  # type: ignore[override]
        """Whether either of them moves octets."""
        return self.first.by_origin or self.second.by_origin

    def law(self) -> Law:
        """The first, then the second."""
        return self.first.law()._replace(then=self.second.law())

    def power_on(self, random_: random.Random) -> None:
        """Both."""
        self.first.power_on(random_)
        self.second.power_on(random_)
        self.between: dict[int, Cells] = {}

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """Each has a buffer of its own for every buffer of the driver, filled when that one is."""
        between = self.between.get(id(memory))
        if between is None or all(cell.frame == LEFT for cell in memory):
            between = self.between[id(memory)] = list(memory)
        passed = self.first.receive(frame, between, number)
        return None if passed is None else self.second.receive(passed, memory, number)
