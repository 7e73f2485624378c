"""Octets, halves or bits of the whole frame in another order."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.span import each
from framecheck.damage import ORDERS
from framecheck.damage.halfword import HALFWORD
from framecheck.damage.swap import SWAP
from framecheck.evidence._trial import Case, Trial


def trials(case: Case) -> Iterator[Trial]:
    """Each reordering undone; where a part word ends the frame, also as part of a whole one."""
    octets = case.octets
    for order in ORDERS:
        healed = order.change(octets)
        width = int(order.parameters.get("width", 4 if order.family == "halfword" else 1))
        part = len(octets) % width
        given = {**order.parameters, "part": "keep"} if width > 1 else dict(order.parameters)
        yield Trial(order.family, given, order.says, healed)
        if part:
            given = {**order.parameters, "part": "word"}
            mechanism = SWAP if order.family == "swap" else HALFWORD
            lost = tuple(each(mechanism.lost(len(octets), **given)))
            says = f"{order.says}, the part word at the end with what stood behind it"
            yield Trial(order.family, given, says, mechanism.undo(octets, **given), lost)
