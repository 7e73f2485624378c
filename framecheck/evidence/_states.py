"""Written or not, octet by octet: a chain of two states along the frame, forwards and backwards.

The odds of "unwritten" at an octet are those of all octets before and behind it, held together by
how seldom the state changes (the forward-backward method: Rabiner, "A Tutorial on Hidden Markov
Models", 1989, for two states, in odds).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

LEAVES = 1 / 16
"""Chance that an octet behind an unwritten one is written."""


class Edge(NamedTuple):
    """Where unwritten octets begin, or end."""

    at: int
    """The first octet behind the edge."""
    begins: bool
    """Whether unwritten octets begin here."""
    certainty: float
    """Probability that it is at this octet and no other."""


def posterior(ratios: Sequence[float], enters: Sequence[float]) -> tuple[list[float], list[Edge]]:
    """Probability of "unwritten" for each octet, and the edges of what is likelier so.

    ``ratios``: how much likelier each octet is if it was not written than if it was.
    ``enters``: chance that an unwritten octet stands behind a written one, for each octet.
    """
    before: list[float] = []
    odds = 0.0
    for ratio, enter in zip(ratios, enters, strict=True):
        odds = ratio * (odds * (1 - LEAVES) + enter) / (odds * LEAVES + 1 - enter)
        before.append(odds)
    behind = [1.0] * len(before)
    for i in range(len(before) - 1, 0, -1):
        both = ratios[i] * behind[i]
        behind[i - 1] = ((1 - LEAVES) * both + LEAVES) / (enters[i] * both + 1 - enters[i])
    chances = [o / (1 + o) for o in (b * a for b, a in zip(before, behind, strict=True))]
    return chances, list(_edges(chances, before, behind, ratios, enters))


def _edges(
    chances: Sequence[float],
    before: Sequence[float],
    behind: Sequence[float],
    ratios: Sequence[float],
    enters: Sequence[float],
) -> list[Edge]:
    edges: list[Edge] = []
    inside = False
    for i, chance in enumerate(chances):
        if (chance > 0.5) == inside:
            continue
        inside = not inside
        last = before[i - 1] if i else 0.0  # odds at the octet in front
        both = ratios[i] * behind[i]
        ways = (
            enters[i] * both,
            1 - enters[i],
            last * (1 - LEAVES) * both,
            last * LEAVES,
        )
        edges.append(Edge(i, inside, ways[0 if inside else 3] / sum(ways)))
    if inside:
        edges.append(Edge(len(chances), False, chances[-1]))
    return edges
