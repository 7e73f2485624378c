"""Two versions of one frame, octet by octet: what is wrong, extra, missing or moved."""

from __future__ import annotations

from collections.abc import Sequence
from operator import eq
from typing import NamedTuple

from framecheck.core.sheet import Missing, Move
from framecheck.core.span import Range, merged, runs

SHORTEST = 60
"""A sender's copy may lack the padding that the wire demands (IEEE 802.3, from memory)."""

_FARTHEST = 64
"""Octets of an insertion or a loss that are tried."""
_EDIT = 4
"""Wrong octets that an insertion must save, on top of its own, before it is believed."""


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


def compare(received: bytes, sent: bytes) -> Difference:
    """The difference with the fewest wrong octets: in place, or moved by one gain or loss."""
    true = len(sent)
    sent = sent + received[true:SHORTEST] if true < SHORTEST else sent
    if received == sent:
        return Difference(truth=_known(sent, true))
    first = next((i for i, (a, b) in enumerate(zip(received, sent, strict=False)) if a != b), None)
    in_place = _cost(received, sent, len(received), 0)
    best, shift = in_place - _EDIT, 0
    if first is not None and in_place > _EDIT:
        for step in range(1, _FARTHEST + 1):
            for way in (step, -step):
                cost = _cost(received, sent, first, way)
                if cost + step < best:
                    best, shift = cost + step, way
    at = len(received) if first is None else first
    found = _told(received, sent, at, shift)
    return found if shift else found._replace(truth=_known(found.truth, true))


def _known(truth: Sequence[int | None], true: int) -> tuple[int | None, ...]:
    """Padding was put in behind the place where the copy was taken: what it was is not known."""
    return (*truth[:true], *(None if i < SHORTEST else t for i, t in enumerate(truth) if i >= true))


def _cost(received: bytes, sent: bytes, at: int, shift: int) -> int:
    """Wrong octets when received octet i >= at was sent at i - shift."""
    head = min(at, len(sent), len(received))
    wrong = head - sum(map(eq, received[:head], sent[:head]))
    behind, below = received[at + max(0, shift) :], sent[at + max(0, -shift) :]
    size = min(len(behind), len(below))
    return int(wrong + size - sum(map(eq, behind[:size], below[:size])))


def _told(received: bytes, sent: bytes, at: int, shift: int) -> Difference:
    truth: list[int | None] = list(sent[: min(at, len(received))])
    extra: list[Range] = []
    missing: list[Missing] = []
    moves: list[Move] = []
    resume = at  # sent octet that comes next
    if shift > 0:
        gained = min(shift, len(received) - at)
        truth += [None] * gained
        extra.append((at, at + gained))
    elif shift < 0:
        missing.append(Missing(at, -shift))
        resume -= shift
    rest = sent[resume : resume + len(received) - len(truth)]
    if shift and rest:
        moves.append(Move(len(truth), len(rest), resume))
    if not shift:
        rest = sent[len(truth) : len(received)]
        resume = len(truth)
    truth += rest
    if len(truth) < len(received):
        extra.append((len(truth), len(received)))
        truth += [None] * (len(received) - len(truth))
    elif resume + len(rest) < len(sent):
        missing.append(Missing(len(received), len(sent) - resume - len(rest)))
    wrong = runs(i for i, t in enumerate(truth) if t is not None and t != received[i])
    return Difference(wrong, merged(extra), tuple(missing), tuple(moves), tuple(truth))
