"""Which laws explain the frames: every mechanism's proposals, ranked by what they cost to say."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from math import log2
from typing import NamedTuple

import numpy as np

from framecheck.core.shelf import shelf
from framecheck.laws import _bits
from framecheck.laws._model import Grid, Index, Law, Mechanism
from framecheck.laws._sample import ANY, Case, Sample
from framecheck.laws._score import Table, foretold, law_bits, score

MECHANISMS = "framecheck.laws.mechanisms"
NEAR = 60.0
"""Bits behind the best within which laws are kept."""
_FIRST_LOOK = 120.0
_MOST_ROWS = 3000
"""Rows of one grid that are looked at on all frames."""


class Hypothesis(NamedTuple):
    """A law with its evidence bits and the sum of both."""

    law: Law
    evidence: float
    total: float


@cache
def mechanisms() -> tuple[Mechanism, ...]:
    """All mechanisms of the shelf."""
    return tuple(shelf(MECHANISMS, Mechanism))


@cache
def _all_shares() -> float:
    return sum(m.share for m in mechanisms())


def family_bits(mechanism: Mechanism) -> float:
    """What it costs to name a family."""
    return float(-log2(mechanism.share / _all_shares()))


def source_bits(sample: Sample) -> float:
    """What it costs to say where unwritten octets come from."""
    return log2(len(sample.sources))


def search(sample: Sample) -> list[Hypothesis]:
    """Laws within some 60 bits of the best, the best first."""
    usual = [m for m in mechanisms() if not m.last]
    return ranked([*_places(sample), *_others(sample, usual)])


def elastic(sample: Sample, best: float) -> list[Hypothesis]:
    """Laws that could swallow much: to be asked for only when no other explains the frames."""
    return list(_others(sample, [m for m in mechanisms() if m.last], best))


def ranked(found: Iterable[Hypothesis]) -> list[Hypothesis]:
    """In the order of their bits; ties by name, so that the same evidence gives one answer."""
    order = sorted(found, key=lambda h: (round(h.total, 6), repr(h.law.key()), h.law.source or ""))
    return [h for h in order if h.total <= order[0].total + NEAR]


# Places: ranges of octets that are not written, thousands side by side.


def _places(sample: Sample) -> Iterator[Hypothesis]:
    cases = sample.cases
    telling = [cases[i] for i in sample.telling]
    small = len(telling) == len(cases)
    first = Table(telling, sample.sources)
    whole = first if small else Table(cases, sample.sources)
    grids = [(m, m.grid(sample)) for m in mechanisms() if m.grid is not None]
    chosen: list[tuple[Mechanism, Grid, str, Index]] = []
    best = float("inf")
    for mechanism, grid in grids:
        spans = _spans(mechanism, grid, first)
        for source in sample.sources:
            bits = first.totals(*spans, source) + grid.bits + family_bits(mechanism)
            best = min(best, float(bits.min()))
            kept = np.flatnonzero(bits <= best + (NEAR if small else _FIRST_LOOK))
            if len(kept) > _MOST_ROWS:
                kept = kept[np.argsort(bits[kept], kind="stable")[:_MOST_ROWS]]
            chosen.append((mechanism, grid, source, kept))
    for mechanism, grid, source, kept in chosen:
        yield from _rows(sample, mechanism, grid, source, kept, whole)


def _spans(mechanism: Mechanism, grid: Grid, table: Table) -> tuple[Index, Index]:
    assert mechanism.spans is not None
    columns = {name: column[:, None] for name, column in grid.columns.items()}
    return mechanism.spans(columns, table.lengths[None, :])


def _rows(
    sample: Sample, mechanism: Mechanism, grid: Grid, source: str, kept: Index, table: Table
) -> Iterator[Hypothesis]:
    if not len(kept):
        return
    part = grid._replace(
        columns={n: c[kept] for n, c in grid.columns.items()}, bits=grid.bits[kept]
    )
    evidence = table.totals(*_spans(mechanism, part, table), source)
    prior = part.bits + family_bits(mechanism) + source_bits(sample)
    total = evidence + prior
    for i in np.flatnonzero(total <= total.min() + NEAR):
        law = Law(mechanism, part.one(int(i)), source, float(prior[i]))
        yield Hypothesis(law, float(evidence[i]), float(total[i]))


# Everything else: one law at a time, given up as soon as it costs too much.


def _others(
    sample: Sample, chosen: Sequence[Mechanism], best: float = float("inf")
) -> Iterator[Hypothesis]:
    order = [sample.cases[i] for i in sample.telling]
    looked = set(sample.telling)
    order += [c for i, c in enumerate(sample.cases) if i not in looked]
    for mechanism in chosen:
        if mechanism.propose is None:
            continue
        for parameters, bits in mechanism.propose(sample):
            prior = family_bits(mechanism) + bits
            for law in _by_source(sample, Law(mechanism, parameters, None, prior)):
                evidence = law_bits(order, law, best + NEAR - law.prior)
                total = evidence + law.prior
                if total <= best + NEAR:
                    best = min(best, total)
                    yield Hypothesis(law, evidence, total)


def _by_source(sample: Sample, law: Law) -> Iterator[Law]:
    """The law once for every source, if it leaves octets unwritten at all."""
    from framecheck.laws._model import UNWRITTEN

    for case in sample.pairs:
        made, _ = foretold(law, case)
        if made is not None and (made.states == UNWRITTEN).any():
            prior = law.prior + source_bits(sample)
            for source in sample.sources:
                yield Law(law.mechanism, law.parameters, source, prior, law.then, law.when)
            return
    yield law


# Damage without a law.


def unrelated_bits(cases: Sequence[Case]) -> float:
    """What the frames cost if each is damaged, or not, or lost, for a reason of its own."""
    total = 0.0
    lost = any(c.received is None for c in cases)
    for case in cases:
        if case.received is None:
            total += 2.0 * case.weight
            continue
        plain = score(case, case.stream(), None)
        told = _bits.KEPT if plain.holds and plain.wrong == 0 else _bits.LOST
        total += (plain.bits - min(told, plain.bits) + 1.0 + 0.4 * lost) * case.weight
    return total


__all__ = ["ANY", "Hypothesis", "search", "unrelated_bits"]
