"""A machine that meets some frames only: by length, from one frame on, in one buffer of several."""

from __future__ import annotations

import random
from typing import Any

from tests.machines.board import Law, Machine
from tests.machines.cells import Cells


def drawn(random_: random.Random) -> dict[str, Any]:
    """A condition: another road for long frames, a restart, one buffer of a ring, odd lengths."""
    every = random_.choice((2, 3, 4))
    return random_.choice(
        (
            {"above": random_.choice((127, 255, 511, 1000))},
            {"up_to": random_.choice((127, 255, 511, 1000))},
            {"from_frame": random_.randrange(5, 17)},
            {"every": every, "turns": [random_.randrange(every) + 1]},
            {"n": 2, "r": [random_.randrange(2)]},
        )
    )


class Sometimes(Machine):
    """Frames that the condition does not meet take a road without a fault."""

    family = "conditional"

    def __init__(self, inner: Machine, when: dict[str, Any]) -> None:
        self.inner = inner
        self.when = when

    @property
    def by_origin(self) -> bool:  # type: ignore[override]
        """As the machine within."""
        return self.inner.by_origin

    def law(self) -> Law:
        """That of the machine within, and when."""
        return self.inner.law()._replace(when=self.when)

    def power_on(self, random_: random.Random) -> None:
        """Both roads."""
        self.inner.power_on(random_)

    def receive(self, frame: Cells, memory: Cells, number: int) -> Cells | None:
        """One road or the other. Frames are counted from 1."""
        if self._met(len(frame), number + 1):
            return self.inner.receive(frame, memory, number)
        return super().receive(frame, memory, number)

    def _met(self, size: int, number: int) -> bool:
        edge = {k: v[0] if k in ("up_to", "until_frame") else v[-1] for k, v in self._edges()}
        if isinstance(self.when.get("above"), int):
            edge["above"] += 1
        if not edge.get("above", 0) <= size <= edge.get("up_to", size):
            return False
        if not edge.get("from_frame", 0) <= number <= edge.get("until_frame", number):
            return False
        if "n" in self.when and size % self.when["n"] not in self.when["r"]:
            return False
        return "every" not in self.when or (
            (number - 1) % self.when["every"] + 1 in self.when["turns"]
        )

    def _edges(self) -> list[tuple[str, list[int]]]:
        """Edges as pairs: an answer names both sides, a machine one value."""
        names = ("above", "up_to", "from_frame", "until_frame")
        pairs = [(name, self.when[name]) for name in names if name in self.when]
        return [(name, [v] if isinstance(v, int) else list(v)) for name, v in pairs]


def settled(said: dict[str, Any] | None, truth: dict[str, Any] | None) -> bool:
    """Whether the edges of an answer's condition hold the true ones between them."""
    if said is None or truth is None:
        return said == truth
    if set(said) != set(truth):
        return False
    for name, value in truth.items():
        low_high = said[name]
        if name in ("n", "every", "r", "turns"):
            if low_high != value:
                return False
        elif name == "from_frame":
            if not low_high[0] < value <= low_high[1]:
                return False
        elif not low_high[0] <= value < low_high[1]:
            return False
    return True
