"""Which laws explain the frames: every mechanism's proposals, ranked by what they cost to say."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from math import log2
from typing import NamedTuple

import numpy as np

from framecheck.core.shelf import shelf
from framecheck.laws import _bits
from framecheck.laws._model import UNWRITTEN, Grid, Index, Law, Mechanism
from framecheck.laws._sample import ANY, Case, Sample
from framecheck.laws._score import Bits, Table, foretold, law_bits, score, under

MECHANISMS = "framecheck.laws.mechanisms"
NEAR = 60.0
"""Bits behind the best within which laws are kept."""
_FIRST_LOOK = 120.0
_GLANCE = 1
"""Telling frames by which laws are put in order before they are looked at further."""
_TWO, _FEW = 2, 5
"""Telling frames by which most places are given up at once, and most of the others after them."""
_PLAIN, _GAIN = 120.0, 8.0
"""Bits of those frames if nothing explains them, from which on a place must say some less."""
_EXACT, _LEAST = 8, 0.4
"""Telling frames, and the share of them, that a law of most damaged frames foretells exactly: if
it does so with four of five, fewer than three of eight come once in 800 times."""
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


def search(
    sample: Sample,
    chosen: Sequence[Mechanism] | None = None,
    best: float = float("inf"),
    *,
    holding: bool = False,
) -> list[Hypothesis]:
    """Laws within some 60 bits of the best, the best first; of all mechanisms, or of some.

    ``best``: bits of a law that is known already; what is not near it is left out. ``holding``:
    only laws that foretell some of the most telling frames octet for octet.
    """
    usual = [m for m in mechanisms() if not m.last] if chosen is None else chosen
    look = _Look(sample, holding)
    look.best = best
    places = _Places(look, mechanisms() if chosen is None else chosen)
    singles = list(_singles(look, usual))
    return ranked([*places.whole(), *_whole(look, singles)])


def elastic(sample: Sample, best: float) -> list[Hypothesis]:
    """Laws that could swallow much: to be asked for only when no other explains the frames."""
    look = _Look(sample)
    singles = list(_singles(look, [m for m in mechanisms() if m.last]))
    look.best = best
    return list(_whole(look, singles))


class _Look:
    """The first look goes over the telling frames, the second over the rest."""

    def __init__(self, sample: Sample, holding: bool = False) -> None:
        self.sample = sample
        self.holding = holding
        chosen = set(sample.telling)
        self.telling = [sample.cases[i] for i in sample.telling]
        self.rest = [c for i, c in enumerate(sample.cases) if i not in chosen]
        self.best = float("inf")

    def spread(self, count: int) -> list[Case]:
        """So many telling frames, damaged if there are some, from all over: in the first ones no
        buffer holds an earlier frame yet."""
        open_ = [c for c in self.telling if c.damaged or c.blind] or self.telling
        return open_[:: max(1, len(open_) // count)][:count]

    def exact(self) -> Sequence[Case]:
        """The frames of which a law must foretell some exactly, where that is asked."""
        return self.spread(_EXACT)

    @property
    def least(self) -> int:
        """How many of them."""
        return max(2, round(_LEAST * len(self.exact())))

    @property
    def near(self) -> float:
        """Bits up to which a law is kept after the first look."""
        return self.best + (_FIRST_LOOK if self.rest else NEAR)


def ranked(found: Iterable[Hypothesis]) -> list[Hypothesis]:
    """In the order of their bits; ties by name, so that the same evidence gives one answer."""
    found = list(found)
    best = min((h.total for h in found), default=0.0)
    near = (h for h in found if h.total <= best + NEAR)
    return sorted(near, key=lambda h: (round(h.total, 6), repr(h.law.key()), h.law.source or ""))


# Places: ranges of octets that are not written, thousands side by side.


class _Places:
    """All grids of the shelf; made, they have been looked at on the first telling frames."""

    def __init__(self, look: _Look, chosen: Sequence[Mechanism]) -> None:
        self._look = look
        self._first = Table(look.telling, look.sample.sources)
        two = self._first.some(look.spread(_TWO))
        self._few = self._first.some(look.spread(_FEW))
        exact = self._first.some(look.exact()) if look.holding else None
        self._bits: list[tuple[Mechanism, Grid, str, Bits]] = []
        # Where damage is plain, a law that says it no better than none does is none.
        empty = np.zeros((1, 1), np.int64)
        nothing = float(self._few.totals(empty, empty, ANY)[0])
        self._nothing = nothing - _GAIN if nothing > _PLAIN else float("inf")
        for mechanism in chosen:
            if mechanism.grid is None:
                continue
            grid = mechanism.grid(look.sample)
            if not len(grid.bits):
                continue
            if exact is not None:
                self._holding(mechanism, grid, exact, two)
                continue
            spans = _spans(mechanism, grid, two)
            totals = two.by_source(*spans, look.sample.sources)
            for name, bits in zip(look.sample.sources, totals, strict=True):
                self._begin(mechanism, grid, name, bits)

    def _holding(self, mechanism: Mechanism, grid: Grid, exact: Table, two: Table) -> None:
        """Those that foretell enough frames exactly; most do not, and cost no more."""
        spans = _spans(mechanism, grid, exact)
        for name in self._look.sample.sources:
            holds = exact.holds(*spans, name).sum(axis=1)
            part = _some(grid, np.flatnonzero(holds >= self._look.least))
            if len(part.bits):
                self._begin(mechanism, part, name, two.totals(*_spans(mechanism, part, two), name))

    def _begin(self, mechanism: Mechanism, grid: Grid, name: str, two: Bits) -> None:
        """Keep those that begin well; ``two``: their bits on two frames."""
        own = family_bits(mechanism) + source_bits(self._look.sample)
        few = two + grid.bits + own
        if few.min() > self._look.near:
            return
        # The one that begins best says how good the best is at least.
        self._telling(mechanism, grid, name, np.argmin(few, keepdims=True))
        part = _some(grid, np.flatnonzero(few <= self._look.near))
        if len(part.bits):
            few = self._few.totals(*_spans(mechanism, part, self._few), name)
            few = np.where(few < self._nothing, few + part.bits + own, np.inf)
            self._bits.append((mechanism, part, name, few))

    def whole(self) -> Iterator[Hypothesis]:
        """Those that came near the best, on all frames."""
        table = None if self._look.rest else self._first
        for mechanism, grid, source, few in self._bits:
            kept = np.flatnonzero(few <= self._look.near)
            bits = self._telling(mechanism, grid, source, kept)
            kept, bits = kept[bits <= self._look.near], bits[bits <= self._look.near]
            if len(kept) > _MOST_ROWS:
                order = np.argsort(bits, kind="stable")[:_MOST_ROWS]
                kept, bits = kept[order], bits[order]
            if len(kept):
                # Long tables take their time: none is made for nothing.
                table = table or Table(self._look.sample.cases, self._look.sample.sources)
                yield from self._rows(mechanism, grid, source, kept, bits, table)

    def _telling(self, mechanism: Mechanism, grid: Grid, source: str, rows: Index) -> Bits:
        """Bits of some rows on all telling frames."""
        if not len(rows):
            return np.zeros(0)
        part = _some(grid, rows)
        bits = self._first.totals(*_spans(mechanism, part, self._first), source)
        bits = bits + part.bits + family_bits(mechanism) + source_bits(self._look.sample)
        self._look.best = min(self._look.best, float(bits.min()))
        return bits

    def _rows(
        self,
        mechanism: Mechanism,
        grid: Grid,
        source: str,
        kept: Index,
        total: Bits,
        table: Table,
    ) -> Iterator[Hypothesis]:
        part = _some(grid, kept)
        prior = part.bits + family_bits(mechanism) + source_bits(self._look.sample)
        if table is not self._first:
            total = table.totals(*_spans(mechanism, part, table), source) + prior
        evidence = total - prior
        for i in np.flatnonzero(total <= total.min() + NEAR):
            law = Law(mechanism, part.one(int(i)), source, float(prior[i]))
            yield Hypothesis(law, float(evidence[i]), float(total[i]))


def _some(grid: Grid, rows: Index) -> Grid:
    columns = {name: column[rows] for name, column in grid.columns.items()}
    return grid._replace(columns=columns, bits=grid.bits[rows])


def _spans(mechanism: Mechanism, grid: Grid, table: Table) -> tuple[Index, Index]:
    columns = {name: column[:, None] for name, column in grid.columns.items()}
    if mechanism.placed is not None:
        return mechanism.placed(columns, table.cases)
    assert mechanism.spans is not None
    return mechanism.spans(columns, table.lengths[None, :])


# Everything else: one law at a time, given up as soon as it costs too much.


def _singles(look: _Look, chosen: Sequence[Mechanism]) -> Iterator[tuple[Law, float]]:
    """Laws with their bits on the telling frames; those that begin well go first."""
    few, more = look.telling[:_GLANCE], look.telling[_GLANCE:]
    laws = (
        law for law in proposed(look.sample, chosen) if not look.holding or _some_hold(look, law)
    )
    glanced = [(law_bits(few, law), law) for law in laws]
    for first, law in sorted(glanced, key=lambda g: g[0] + g[1].prior):
        evidence = first + law_bits(more, law, look.near - law.prior - first)
        look.best = min(look.best, evidence + law.prior)
        yield law, evidence


def _some_hold(look: _Look, law: Law) -> bool:
    """Whether enough of the first telling frames are as foretold."""
    exact = look.exact()
    fails = len(exact) - look.least
    for case in exact:
        fails -= not under(law, case).holds
        if fails < 0:
            return False
    return True


def proposed(sample: Sample, chosen: Sequence[Mechanism]) -> Iterator[Law]:
    """The laws that mechanisms propose for this evidence, once for every source."""
    for mechanism in chosen:
        if mechanism.propose is None:
            continue
        found = sample.told.get(mechanism.family) or list(mechanism.propose(sample))
        if mechanism.transform:
            sample.told[mechanism.family] = found
        for parameters, bits in found:
            prior = family_bits(mechanism) + bits
            yield from _by_source(sample, Law(mechanism, parameters, None, prior))


def _whole(look: _Look, singles: Sequence[tuple[Law, float]]) -> Iterator[Hypothesis]:
    """Those that came near the best, on all frames."""
    best = float("inf")
    for law, first in sorted(singles, key=lambda s: s[1] + s[0].prior):
        if first + law.prior > look.near:
            break
        evidence = first + law_bits(look.rest, law, best + NEAR - first - law.prior)
        best = min(best, evidence + law.prior)
        yield Hypothesis(law, evidence, evidence + law.prior)


def _by_source(sample: Sample, law: Law) -> Iterator[Law]:
    """The law once for every source, if it leaves octets unwritten at all."""
    for case in (*sample.pairs, *sample.blind) if law.mechanism.old else ():
        made, _ = foretold(law, case)
        if made is not None and UNWRITTEN in made.states:
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
