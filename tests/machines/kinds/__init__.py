"""The machines, a file for each part of a board, and the roads from families to them."""

from __future__ import annotations

from tests.machines.board import Law, Machine
from tests.machines.kinds import buses, engines, memories, streams
from tests.machines.kinds.chains import Chain

KINDS: dict[str, type[Machine]] = {
    kind.family: kind for part in (engines, buses, streams, memories) for kind in part.KINDS
}
"""One machine for each family of the sheet."""


def built(law: Law) -> Machine:
    """The machine that a law describes. Raises what its constructor raises for odd parameters."""
    first = KINDS[law.family](**law.parameters)
    return Chain(first, built(law.then)) if law.then else first


__all__ = ["KINDS", "Chain", "built"]
