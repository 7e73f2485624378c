"""One to eight octets inserted or lost at an edge of a field."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.sheet import Missing, Move
from framecheck.damage.delete import DELETE
from framecheck.damage.insert import INSERT
from framecheck.evidence._quick import SHORTEST, look
from framecheck.evidence._trial import Case, Trial, common_moves

MOST = 8
"""Octets that are tried."""
_FCS = 4


def trials(case: Case) -> Iterator[Trial]:
    """Each insertion and each loss undone that the frame's length, where it is known, allows."""
    octets = case.octets
    size = len(octets)
    for at in case.edges:
        allowed = _allowed(case, at)
        for k in range(1, MOST + 1):
            if at + k < size and (allowed is None or k in allowed):
                yield _insertion(octets, k, at)
            if at <= size and (allowed is None or -k in allowed):
                yield _loss(octets, k, at)


def _allowed(case: Case, at: int) -> frozenset[int] | None:
    """Surplus octets that the lengths in front of ``at`` allow; None when they do not speak."""
    seen = look(case.octets[:at].ljust(len(case.octets), b"\0"))
    if seen is None or at < seen.internet + 6 or seen.end <= seen.internet:
        return None
    surplus = {len(case.octets) - e for e in (seen.end, max(seen.end, SHORTEST))}
    return frozenset(surplus | {s - _FCS for s in surplus})


def _insertion(octets: bytes, k: int, at: int) -> Trial:
    moves = common_moves((Move(at + k, len(octets) - at - k, at),))
    says = f"{_counted(k)} inserted at octet 0x{at:x}"
    healed = INSERT.undo(octets, k=k, at=at)
    return Trial("insert", {"k": k, "at": at}, says, healed, (), ((at, at + k),), (), moves)


def _loss(octets: bytes, k: int, at: int) -> Trial:
    lost = tuple(range(at, at + k))
    moves = common_moves((Move(at, len(octets) - at, at + k),))
    says = f"{_counted(k)} lost in front of octet 0x{at:x}"
    healed = DELETE.undo(octets, k=k, at=at)
    return Trial("delete", {"k": k, "at": at}, says, healed, lost, (), (Missing(at, k),), moves)


def _counted(k: int) -> str:
    return "1 octet" if k == 1 else f"{k} octets"
