"""Two versions of one frame, octet by octet: what is wrong, extra, missing or moved."""

from __future__ import annotations

from typing import NamedTuple

from framecheck.core.sheet import Missing, Move
from framecheck.core.span import Range, merged, runs
from framecheck.evidence._alignment import Block, align

SHORTEST = 60
"""A sender's copy may lack the padding that the wire demands (IEEE 802.3, from memory)."""


class Difference(NamedTuple):
    """How the received octets differ from the sent ones. Ranges are of received octets."""

    wrong: tuple[Range, ...] = ()
    extra: tuple[Range, ...] = ()
    missing: tuple[Missing, ...] = ()
    moves: tuple[Move, ...] = ()
    truth: tuple[int | None, ...] = ()
    """Per received octet: the sent octet that belongs there, None for an extra one."""

    def __bool__(self) -> bool:
        return bool(self.wrong or self.extra or self.missing)


def padded(sent: bytes, length: int) -> bytes:
    """``sent`` with the zero padding that a frame of ``length`` octets shows it was given."""
    return sent.ljust(min(SHORTEST, length), b"\0") if len(sent) < SHORTEST else sent


def compare(received: bytes, sent: bytes, before: bytes | None = None) -> Difference:
    """The difference that needs the fewest bits to say: in place, or with losses and insertions.

    ``before``: what the buffer held at the received offsets, when it is known.
    """
    true = len(sent)
    if received[:true] == sent and true <= len(received) <= SHORTEST:
        return Difference(truth=_known(received, true))
    whole = padded(sent, len(received))
    truth: list[int | None] = [None] * len(received)
    extra: list[Range] = []
    missing: list[Missing] = []
    moves: list[Move] = []
    i = j = 0
    for block in (*align(received, whole, before), Block(len(received), len(whole), 0)):
        if block.received > i:
            extra.append((i, block.received))
        if block.sent > j:
            missing.append(Missing(block.received, block.sent - j))
        i, j = block.received + block.size, block.sent + block.size
        # Padding was put in behind the place where the copy was taken: what it was is not known.
        known = min(block.size, max(0, true - block.sent))
        truth[block.received : block.received + known] = whole[block.sent : block.sent + known]
        if block.size and block.received != block.sent:
            moves.append(Move(block.received, block.size, block.sent))
    wrong = runs(k for k, t in enumerate(truth) if t is not None and t != received[k])
    return Difference(wrong, merged(extra), tuple(missing), tuple(moves), tuple(truth))


def _known(truth: bytes, true: int) -> tuple[int | None, ...]:
    return (*truth[:true], *([None] * (len(truth) - true)))
