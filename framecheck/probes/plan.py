"""Which frames to send next: those on which the laws still standing disagree most.

Of all candidate lengths the one is taken from which most is learned, by the shares that the laws
have; then the one from which most is learned beside the first; until nothing more can be parted.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from itertools import islice
from math import log2
from typing import Any, NamedTuple

MOST_LAWS = 32
"""Laws that are held against one another."""
MOST_STEPS = 8
_LEAST = 0.01
"""Bits that a further length must tell."""
AT_RANDOM = ("stale-lines", "wrap", "ring", "late", "unrelated")
"""Families that show themselves by repetition, not by length."""
REPEATS = 20


class Step(NamedTuple):
    """One length to send, and what it would decide."""

    length: int
    bits: float
    """How much is learned, on the average, if the standing laws have the shares that they have."""
    parts: tuple[tuple[int, ...], ...]
    """Laws (places in the list of standing ones) that foretell the same for this length."""
    left: int
    """Groups of laws that can be told apart once this length came in too."""


class Plan(NamedTuple):
    """What to send while these laws stand."""

    laws: tuple[Mapping[str, Any], ...]
    """The first law of the sheet and its rivals, as the sheet states them."""
    steps: tuple[Step, ...]
    equal: tuple[tuple[int, ...], ...]
    """Laws that no length parts."""
    repeat: int
    """How often to send each: once, or more where damage comes at random or by count."""


def standing(laws: Sequence[Mapping[str, Any]]) -> tuple[Mapping[str, Any], ...]:
    """The first law of a sheet's ranking with its rivals."""
    if not laws:
        return ()
    first = laws[0]
    return tuple(islice((first, *first["rivals"]), MOST_LAWS))


def plan(laws: Sequence[Mapping[str, Any]]) -> Plan:
    """The lengths that part the laws that ``standing`` gave, each chosen beside those before it.

    Bounded: at most 32 laws over the lengths from 60 to 1514.
    """
    from framecheck.laws.foretold import behaviours

    table = behaviours(laws)
    # The first law counts more than its rivals, but not so much that it is all that is asked.
    shares = [2.0, *([1.0] * (len(laws) - 1))][: len(laws)]
    groups: list[int] = [0] * len(laws)
    steps: list[Step] = []
    while len(steps) < MOST_STEPS:
        length, bits, found = _best(table, groups, shares)
        if length is None or bits < _LEAST:
            break
        groups = found
        steps.append(Step(length, round(bits, 2), _parts(table[length]), len(set(groups))))
    same = tuple(part for part in _parts(groups) if len(part) > 1)
    often = any(law["family"] in AT_RANDOM for law in laws)
    return Plan(tuple(laws), tuple(steps), same, REPEATS if often else 1)


def _best(
    table: Mapping[int, Sequence[Hashable]], groups: Sequence[int], shares: Sequence[float]
) -> tuple[int | None, float, list[int]]:
    """The shortest length that tells most beside what the groups tell, the bits, new groups."""
    best: tuple[int | None, float, list[int]] = (None, 0.0, list(groups))
    before = _entropy(groups, shares)
    for length, column in table.items():
        pairs = list(zip(groups, column, strict=True))
        names = {pair: i for i, pair in enumerate(dict.fromkeys(pairs))}
        if len(names) == len(set(groups)):
            continue
        finer = [names[pair] for pair in pairs]
        bits = _entropy(finer, shares) - before
        if bits > best[1] + 1e-9:
            best = length, bits, finer
    return best


def _entropy(groups: Sequence[int], shares: Sequence[float]) -> float:
    whole = sum(shares)
    sums: dict[int, float] = {}
    for group, share in zip(groups, shares, strict=True):
        sums[group] = sums.get(group, 0.0) + share / whole
    return -sum(s * log2(s) for s in sums.values())


def _parts(column: Sequence[Hashable]) -> tuple[tuple[int, ...], ...]:
    parts: dict[Hashable, list[int]] = {}
    for i, name in enumerate(column):
        parts.setdefault(name, []).append(i)
    return tuple(tuple(part) for part in parts.values())
