"""The machines, a file for each part of a board, and the roads from families to them."""

from __future__ import annotations

from tests.machines.board import Law, Machine
from tests.machines.kinds import buses, engines, memories, streams
from tests.machines.kinds.chains import Chain
from tests.machines.kinds.sometimes import Sometimes

KINDS: dict[str, type[Machine]] = {
    kind.family: kind for part in (engines, buses, streams, memories) for kind in part.KINDS
}
"""One machine for each family of the sheet."""


def built(law: Law) -> Machine:
    """The machine that a law describes. Raises what its constructor raises for odd parameters."""
    machine = KINDS[law.family](**law.parameters)
    if law.then:
        machine = Chain(machine, built(law.then))
    return Sometimes(machine, law.when) if law.when else machine


__all__ = ["KINDS", "Chain", "Sometimes", "built"]
