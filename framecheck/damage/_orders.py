"""Octets, halves or bits of a whole frame that come in another order: each of these undoes itself.

A part word at the end stays as it is, as a transfer by whole words leaves it.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import NamedTuple

from framecheck.damage.halfword import HALFWORD
from framecheck.damage.nibble import NIBBLE
from framecheck.damage.reversal import REVERSAL
from framecheck.damage.swap import SWAP


class Order(NamedTuple):
    """One way in which octets are exchanged."""

    family: str
    parameters: dict[str, int | str]
    says: str
    change: Callable[[bytes], bytes]
    """Applied twice, it gives back what it was given."""

    @property
    def name(self) -> str:
        """The family, and the width where it has one."""
        return f"{self.family}{self.parameters.get('width', '')}"


def _swap(width: int, says: str) -> Order:
    return Order("swap", {"width": width}, says, partial(SWAP.undo, width=width))


ORDERS = (
    _swap(2, "the octets of each 16-bit word exchanged"),
    _swap(4, "the octets of each 32-bit word reversed"),
    _swap(8, "the octets of each 64-bit word reversed"),
    Order("halfword", {}, "the halves of each 32-bit word exchanged", HALFWORD.undo),
    Order("nibble", {}, "the halves of each octet exchanged", NIBBLE.undo),
    Order("reversal", {}, "the bits of each octet reversed", REVERSAL.undo),
)
"""Whole-frame reorderings, the commonest first (common practice, no source)."""
