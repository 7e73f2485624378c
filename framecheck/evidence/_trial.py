"""A trial: a frame with one damage undone, and what can be known of what the damage took."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from framecheck.core.finding import Host
from framecheck.core.sheet import Missing, Move
from framecheck.core.span import Range


class Case(NamedTuple):
    """A damaged frame, as those who try to heal it see it."""

    octets: bytes
    """The frame, with its FCS where that is known to stand behind it."""
    tail: int = 0
    """Octets of an FCS at the end: 4 where it is known to be there, else 0."""
    edges: tuple[int, ...] = (0, 6, 12, 14)
    """Octets at which its fields begin: right as far as nothing in front of them is damaged."""
    starts: tuple[int, ...] = (0,)
    """Octets at which a slip may begin."""
    host: Host = Host()


class Trial(NamedTuple):
    """One try. Ranges are of received octets, ``lost`` of healed ones."""

    family: str
    parameters: dict[str, int | str]
    says: str
    """The damage in words."""
    octets: bytes
    """The frame healed; zeros in ``lost``."""
    lost: tuple[int, ...] = ()
    """Healed octets of which nothing arrived, or not all bits."""
    extra: tuple[Range, ...] = ()
    missing: tuple[Missing, ...] = ()
    moves: tuple[Move, ...] = ()
    known: int = 0
    """The bits of a lost octet that did arrive, as a mask."""

    def truth(self, received: int) -> tuple[int | None, ...]:
        """Per received octet, the octet that belongs there; None for what was not sent."""
        found: list[int | None] = list(self.octets[:received])
        found += [None] * (received - len(found))
        for move in self.moves:
            sent = self.octets[move.sent : move.sent + move.length]
            gone = received - move.received - len(sent)
            found[move.received :] = [*sent, *([None] * gone)][: received - move.received]
        for start, stop in self.extra:
            found[start:stop] = [None] * (stop - start)
        return tuple(found)


def common_moves(moves: Sequence[Move]) -> tuple[Move, ...]:
    """Moves that hold octets."""
    return tuple(m for m in moves if m.length > 0)
