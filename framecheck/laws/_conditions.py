"""Laws that hold for some frames only: the law of the damaged ones, and what they have in common.

The law is looked for in the damaged frames alone. A whole frame in which it would have shown speaks
against it, and a condition parts those from the others. That it holds at random is a rival to all
conditions, and costs what chance costs: so few frames never bear a condition out by luck.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from math import log2
from typing import Any, NamedTuple

import numpy as np

from framecheck.laws._model import LENGTHS, Flags, Index, Law
from framecheck.laws._sample import Case, Sample
from framecheck.laws._score import law_bits, under
from framecheck.laws._when import When
from framecheck.laws.search import NEAR, Hypothesis, mechanisms, search

_FEWEST, _WHOLE = 3, 2
"""Damaged frames, and whole ones that speak against, before a condition is looked for."""
_TRIED = 8
"""Laws of the damaged frames to which conditions are looked for."""
_EXPLAINED = 0.8
"""Share of the damaged frames that such a law must explain."""
_KIND = 3.0
"""Bits for saying which kind of condition it is."""
_SIZES = (2, 3, 4, 8, 16, 32, 64)
_TURNS = range(2, 17)
_NEVER = ("sound", "ring", "drop", "late")
"""Families that say themselves when they hold."""


class _Marked(NamedTuple):
    """Frames that tell whether a law holds: where it does, and where it does not."""

    length: Index
    number: Index
    turn: Index
    met: Flags
    weight: np.ndarray[Any, np.dtype[np.float64]]
    one_input: bool


class _Found(NamedTuple):
    when: When
    bits: float


def conditioned(looked: Sample, known: Hypothesis) -> Iterator[Hypothesis]:
    """Laws with the conditions under which they hold, weighed on all frames.

    ``known``: the best law so far; what is not near it is left out.
    """
    best = known.total
    told = [c for c in looked.cases if c.received is not None and not c.blind]
    damaged = [c for c in told if c.damaged]
    if len(damaged) < _FEWEST or len(told) - len(damaged) < _WHOLE:
        return
    part = Sample(damaged, looked.sources, looked.fill, looked.ring)
    usual = [m for m in mechanisms() if not m.last and m.family not in _NEVER]
    for h in search(part, usual, holding=True)[:_TRIED]:
        if h.law.family in _NEVER:
            continue
        marked = _marked(h.law, told)
        if marked is None:
            continue
        for found in _conditions(marked):
            prior = h.law.prior + found.bits + _KIND
            law = replace(h.law, when=found.when, prior=prior)
            evidence = law_bits(looked.cases, law, best + NEAR - prior)
            best = min(best, evidence + prior)
            if evidence + prior <= best + NEAR:
                yield Hypothesis(law, evidence, evidence + prior)


def _marked(law: Law, known: Sequence[Case]) -> _Marked | None:
    """The frames in which the law shows or ought to; None where it explains too few of them."""
    told: list[tuple[Case, bool]] = []
    damaged = explained = 0.0
    for case in known:
        holds = under(law, case).holds
        if case.damaged:
            damaged += case.weight
            explained += case.weight * holds
        if holds == case.damaged:  # as foretold and changed, or unchanged against the law
            told.append((case, holds))
    against = sum(not met for _, met in told)
    if explained < _EXPLAINED * damaged or against < _WHOLE:
        return None
    cases = [case for case, _ in told]
    return _Marked(
        np.array([c.length for c in cases]),
        np.array([c.seen.number for c in cases]),
        np.array([c.seen.order for c in cases]),
        np.array([met for _, met in told]),
        np.array([c.weight for c in cases]),
        len({c.seen.input for c in known}) == 1,
    )


def _conditions(marked: _Marked) -> Iterator[_Found]:
    share = float(marked.weight[marked.met].sum() / marked.weight.sum())
    yield _Found({"share": round(share, 2)}, log2(len(marked.met) + 1))
    yield from _of_bounds(marked, marked.length, ("above", "up_to"), log2(len(LENGTHS)))
    yield from _of_remainders(marked)
    if marked.one_input:
        bits = log2(max(2, int(marked.number.max())))
        yield from _of_bounds(marked, marked.number, ("from_frame", "until_frame"), bits)
        yield from _of_turns(marked)


def _of_bounds(
    marked: _Marked, values: Index, names: tuple[str, str], bits: float
) -> Iterator[_Found]:
    """Above a value, below one, or between two: where least is wrong."""
    steps, place = np.unique(values, return_inverse=True)
    gain = np.bincount(place, np.where(marked.met, marked.weight, -marked.weight))
    sums = np.concatenate(([0.0], np.cumsum(gain)))
    size = len(steps)
    # Of a tie the widest range.
    low = int(np.argmin(sums[:-1]))
    high = size - int(np.argmax(sums[:0:-1]))
    if low > 0:
        yield _Found({names[0]: _pair(steps, low)}, bits)
    if high < size:
        yield _Found({names[1]: _pair(steps, high)}, bits)
    best, start, stop, least = 0.0, 0, 0, 0
    for i in range(1, size + 1):
        least = i - 1 if sums[i - 1] < sums[least] else least
        if sums[i] - sums[least] > best:
            best, start, stop = float(sums[i] - sums[least]), least, i
    if 0 < start < stop < size:
        yield _Found({names[0]: _pair(steps, start), names[1]: _pair(steps, stop)}, 2 * bits)


def _pair(steps: Index, at: int) -> list[int]:
    """The values on both sides of an edge."""
    return [int(steps[at - 1]), int(steps[at])]


def _of_remainders(marked: _Marked) -> Iterator[_Found]:
    for n, rests, bits in _classes(marked, marked.length, _SIZES):
        yield _Found({"n": n, "r": rests}, log2(len(_SIZES)) + bits)


def _of_turns(marked: _Marked) -> Iterator[_Found]:
    for every, turns, bits in _classes(marked, marked.turn - 1, _TURNS):
        yield _Found({"every": every, "turns": [t + 1 for t in turns]}, log2(16) + bits)


def _classes(
    marked: _Marked, values: Index, sizes: Iterable[int]
) -> Iterator[tuple[int, list[int], float]]:
    """The remainders in which the law holds for the most part, if it does not in others."""
    found: list[tuple[int, list[int]]] = []
    for n in sizes:
        gain = np.bincount(values % n, np.where(marked.met, marked.weight, -marked.weight), n)
        seen = np.unique(values % n)
        holds = [int(r) for r in np.flatnonzero(gain > 0)]
        if not 0 < len(holds) < len(seen):
            continue
        # Of two that say the same, the one that counts less far.
        if any(
            holds == [int(r) for r in seen if r % m in rests] for m, rests in found if n % m == 0
        ):
            continue
        found.append((n, holds))
        one = log2(n) + 1 if len(holds) == 1 else float(n)
        yield n, holds, min(float(len(seen)), one)
