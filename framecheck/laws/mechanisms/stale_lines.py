"""Lines of a cache keep what the buffer held: islands of one size, different ones each time.

This family is elastic: it could swallow any damage that ends at round offsets. So it is tried
last, and refused when the lines are more often the last one, the same, or in one piece than chance
allows. In short frames chance allows much: what such frames alone show is never certain.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from math import comb
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from framecheck.laws import _bits
from framecheck.laws._model import Advice, Flags, Index, Mechanism, Parameters, Proposal, Stream
from framecheck.laws._sample import ANY, Case, Sample
from framecheck.laws.mechanisms._words import LEAK

SIZES = (16, 32, 64, 128)
RATE = 0.15
"""Share of lines that are stale, for want of a better guess."""
_FRESH = float(-np.log2(1 - RATE))
_STALE = float(-np.log2(RATE))
_NEAR = 12.0
"""Bits behind the best within which sizes and phases are proposed."""
_MOST = 24
"""Sizes and phases that are proposed."""
_FEWEST = 3
"""Stale lines, and frames with some, before they are looked at."""
_ORDERED = 0.01
"""Chance below which lines are said to be in an order, not chosen at random."""


def _propose(sample: Sample) -> Iterable[Proposal]:
    found = sorted(_weighed(sample), key=lambda f: f.bits)
    near = [f for f in found if f.bits <= found[0].bits + _NEAR] if found else []
    told: set[tuple[int, int]] = set()
    for size, phase, source, _ in near:
        if (size, phase) in told or len(told) == _MOST:
            continue
        told.add((size, phase))
        p = {"size": size, "phase": phase}
        seen = _seen(sample, p, source)
        if seen is not None and not _in_order(seen):
            # Where the buffer's address says the phase, it need not be said again.
            placed = sample.address is not None and (phase + sample.address) % size == 0
            said = 1.0 if placed else float(np.log2(size))
            shown = p if _plain(seen) else {**p, "_thin": True}
            yield Proposal(shown, float(np.log2(len(SIZES))) + said)


class _Weighed(NamedTuple):
    """A size and a phase with the old octets under which they cost least."""

    size: int
    phase: int
    source: str
    bits: float


def _weighed(sample: Sample) -> Iterator[_Weighed]:
    """What all phases of all sizes cost, side by side."""
    pairs = [c for c in sample.pairs if c.received is not None and len(c.received)]
    if not pairs:
        return
    rows = [_sums(case, sample.sources) for case in pairs]
    lengths = np.array([len(row[0]) - 1 for row in rows])
    base = np.concatenate(([0], np.cumsum(lengths + 1)[:-1]))
    sums = np.concatenate(rows, axis=1)
    given_up = _bits.UNKNOWN * lengths + _bits.UNKNOWN + _bits.LOST
    for size in SIZES:
        counts = -(-lengths // size) + 1
        own = np.repeat(np.arange(len(pairs)), counts)
        first = np.concatenate(([0], np.cumsum(counts)[:-1]))
        number = np.arange(len(own)) - first[own]
        stop = np.arange(size)[:, None] + size * number
        start = np.clip(stop - size, 0, lengths[own]) + base[own]
        stop = np.clip(stop, 0, lengths[own]) + base[own]
        there = stop > start
        written = (sums[0][stop] - sums[0][start]) + there * _FRESH
        costs = {
            source: np.minimum(written, row[stop] - row[start] + there * _STALE)
            for source, row in zip(sample.sources, sums[1:], strict=True)
        }
        totals = {
            source: np.minimum(np.add.reduceat(cost, first, axis=1), given_up).sum(axis=1)
            for source, cost in costs.items()
        }
        for phase in range(size):
            source = min(totals, key=lambda s: totals[s][phase])
            own_bits = float(np.log2(size))
            yield _Weighed(size, phase, source, float(totals[source][phase]) + own_bits)


def _sums(case: Case, sources: Sequence[str]) -> NDArray[np.float64]:
    """Running bits of a frame's octets if they are written, and if they are old, by source."""
    wrong, old = _octets(case, sources)
    out = np.zeros((1 + len(sources), len(wrong) + 1))
    np.cumsum(np.stack([wrong, *old]), axis=1, out=out[:, 1:])
    return out


def _octets(
    case: Case, sources: Sequence[str]
) -> tuple[NDArray[np.float64], list[NDArray[np.float64]]]:
    """Bits of each octet if it is written, and if it is old, by source."""
    assert case.received is not None
    size = min(case.length, len(case.received))
    received = case.received[:size]
    held = [case.sources[source][:size] for source in sources]
    old = [np.where(h < 0, _bits.UNKNOWN, (h != received) * _bits.WRONG) for h in held]
    return (case.sent[:size] != received) * _bits.WRONG, old


def _lines(p: Parameters, length: int) -> Index:
    """The number of the line in which each octet lies, counted from 0."""
    number: Index = (np.arange(length) - p["phase"]) // p["size"]
    return number + (1 if p["phase"] else 0)


def _stale(p: Parameters, case: Case, source: str | None) -> tuple[Flags, Flags]:
    """Which lines are cheaper said to be stale, and which of them hold a wrong octet at all."""
    wrong, (old,) = _octets(case, (source or ANY,))
    line = _lines(p, len(wrong))
    written = np.bincount(line, wrong)
    return np.bincount(line, old) + _STALE < written + _FRESH, written > 0


def _fit(p: Parameters, case: Case, source: str | None) -> tuple[Stream | None, float]:
    sent = case.stream()
    if case.received is None or case.blind or not len(case.received):
        return sent, 0.0
    flags, _ = _stale(p, case, source)
    size = min(case.length, len(case.received))
    where = np.zeros(case.length, bool)
    where[:size] = flags[_lines(p, size)]
    chosen = int(flags.sum())
    return sent.unwritten(where), chosen * _STALE + (len(flags) - chosen) * _FRESH


class _Seen(NamedTuple):
    """The lines of the frames in which some are stale."""

    flags: list[Flags]
    orders: list[int]
    """Places of these frames in the log."""

    @property
    def shares(self) -> list[float]:
        """What part of each frame's lines is stale."""
        return [float(flags.mean()) for flags in self.flags]


def _seen(sample: Sample, p: Parameters, source: str) -> _Seen | None:
    """The stale lines; None where they are too few to look at."""
    found = _Seen([], [])
    for case in sample.pairs:
        stale, touched = _stale(p, case, source)
        if (stale & touched).any():
            found.flags.append(stale & touched)
            found.orders.append(case.seen.order)
    places = {int(i) for flags in found.flags for i in np.flatnonzero(flags)}
    return found if len(found.flags) >= _FEWEST and len(places) > 1 else None


def _in_order(seen: _Seen) -> bool:
    """Whether the stale lines look as if something else than chance had chosen them."""
    steps = set(np.diff(sorted(seen.orders)).tolist())
    if len(seen.orders) > 4 and len(steps) == 1 and steps != {1}:
        return True
    flags, shares = seen.flags, seen.shares
    last = _at_least(sum(bool(f[-1]) for f in flags), shares)
    width = max(len(f) for f in flags)
    same = min(
        _at_least(
            sum(bool(f[i]) for f in flags if len(f) > i),
            [share for f, share in zip(flags, shares, strict=True) if len(f) > i],
        )
        for i in range(width)
    )
    several = [f for f in flags if 1 < f.sum() < len(f)]
    one_piece = _at_least(
        sum(_pieces(f) == 1 for f in several),
        [(len(f) - int(f.sum()) + 1) / comb(len(f), int(f.sum())) for f in several],
    )
    return min(last, same * width, one_piece) < _ORDERED


def _at_least(count: int, chances: Sequence[float]) -> float:
    """The chance that so many or more of independent things of these chances happen."""
    spread = np.ones(1)
    for chance in chances:
        spread = np.convolve(spread, (1 - chance, chance))
    return float(spread[count:].sum())


def _pieces(flags: Flags) -> int:
    """In how many pieces the stale lines of a frame lie."""
    return int((np.diff(np.flatnonzero(flags)) > 1).sum()) + 1


def _plain(seen: _Seen) -> bool:
    """Whether chance shows: enough lines, at several places, not mostly at one or at the end."""
    places: Counter[int] = Counter()
    for flags in seen.flags:
        places.update(np.flatnonzero(flags).tolist())
    frames, lines = len(seen.flags), sum(places.values())
    often = places.most_common(1)[0][1]  # short frames have but few lines: others count as well
    same = often > 0.7 * frames and often > 0.3 * lines
    always_last = sum(bool(f[-1]) for f in seen.flags) > 0.7 * frames
    runs = sum(_pieces(f) for f in seen.flags)
    one_piece = runs < 0.5 * lines or (runs == frames and lines > 2 * frames)
    enough = lines > _FEWEST and len(places) > 2
    return enough and not (same or always_last or one_piece)


def _says(p: Parameters) -> str:
    return (
        f"lines of {p['size']} octets, starting at octets {p['phase']} mod {p['size']}, keep what "
        "the buffer held, now this one, now that one"
    )


def _helps(p: Parameters) -> Advice:
    size = p["size"]
    return Advice(
        f"invalidate the cache over the whole buffer, rounded out to lines of {size} octets, "
        "before the transfer starts and again after it has ended; let no other data share a line",
        f"{LEAK}; it comes with load: one good run proves nothing",
        lambda length: -length % size,
        f"start &= ~{size - 1}u; stop = (stop + {size - 1}u) & ~{size - 1}u;",
    )


STALE_LINES = Mechanism(
    "stale-lines", 7, _says, _helps, propose=_propose, fit=_fit, old=True, last=True
)
