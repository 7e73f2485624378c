"""Lines of a cache keep what the buffer held: islands of one size, different ones each time.

This family is elastic: it could swallow any damage that ends at round offsets. So it is tried
last, and refused when the lines are always the last one, always the same, or in one piece.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

import numpy as np

from framecheck.laws import _bits
from framecheck.laws._model import Advice, Flags, Index, Mechanism, Parameters, Proposal, Stream
from framecheck.laws._sample import ANY, Case, Sample
from framecheck.laws.mechanisms._words import LEAK

SIZES = (16, 32, 64, 128)
RATE = 0.15
"""Share of lines that are stale, for want of a better guess."""
_FRESH = float(-np.log2(1 - RATE))
_STALE = float(-np.log2(RATE))
_FEWEST = 4
"""Stale lines, in as many frames or nearly, before they are believed."""


def _propose(sample: Sample) -> Iterable[Proposal]:
    for size in SIZES:
        edges: Counter[int] = Counter()
        for case in sample.pairs:
            for start, stop in _islands(case):
                # A chance match moves an edge inwards by an octet or two.
                edges.update({(start - back) % size for back in (0, 1)})
                edges.update({stop % size} if stop < case.length else ())
        phases = [phase for phase, _ in edges.most_common(4)]
        placed = None if sample.address is None else -sample.address % size
        for phase in dict.fromkeys(phases if placed is None else [placed, *phases]):
            p = {"size": size, "phase": phase}
            if _random(sample, p):
                # Where the buffer's address says the phase, it need not be said again.
                said = 1.0 if phase == placed else float(np.log2(size))
                yield Proposal(p, float(np.log2(len(SIZES))) + said)


def _islands(case: Case) -> Iterable[tuple[int, int]]:
    """Stretches of wrong octets; right ones in between, up to three, are taken for chance."""
    assert case.received is not None
    size = min(case.length, len(case.received))
    wrong = np.flatnonzero(case.sent[:size] != case.received[:size])
    if not len(wrong):
        return
    cuts = np.flatnonzero(np.diff(wrong) > 4)
    starts = wrong[np.concatenate(([0], cuts + 1))]
    stops = wrong[np.concatenate((cuts, [len(wrong) - 1]))] + 1
    yield from zip(starts.tolist(), stops.tolist(), strict=True)


def _lines(p: Parameters, length: int) -> Index:
    """The number of the line in which each octet lies, counted from 0."""
    number: Index = (np.arange(length) - p["phase"]) // p["size"]
    return number + (1 if p["phase"] else 0)


def _stale(p: Parameters, case: Case, source: str | None) -> tuple[Flags, Flags]:
    """Which lines are cheaper said to be stale, and which of them hold a wrong octet at all."""
    assert case.received is not None
    size = min(case.length, len(case.received))
    line = _lines(p, size)
    wrong = case.sent[:size] != case.received[:size]
    held = case.sources[source or ANY][:size]
    against = (held >= 0) & (held != case.received[:size])
    written = np.bincount(line, wrong) * _bits.WRONG + _FRESH
    unknown = np.bincount(line, held < 0) * _bits.UNKNOWN
    stale = np.bincount(line, against) * _bits.WRONG + unknown + _STALE
    return stale < written, np.bincount(line, wrong) > 0


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


def _random(sample: Sample, p: Parameters) -> bool:
    """Whether the stale lines look as if chance had chosen them."""
    places: Counter[int] = Counter()
    last = runs = frames = long_ = 0
    orders = []
    for case in sample.pairs:
        flags, touched = _stale(p, case, ANY)
        flags = flags & touched
        if not flags.any():
            continue
        frames += 1
        orders.append(case.seen.order)
        at = np.flatnonzero(flags)
        places.update(at.tolist())
        last += bool(flags[-1])
        runs += int((np.diff(at) > 1).sum()) + 1
        long_ += len(at)
    if long_ < _FEWEST or frames < 3 or len(places) < 3:
        return False
    steps = set(np.diff(sorted(orders)).tolist())
    regular = len(orders) > 4 and len(steps) == 1 and steps != {1}
    always_last = last > 0.7 * frames
    one_piece = runs < 0.5 * long_ or (runs == frames and long_ > 2 * frames)
    often = places.most_common(1)[0][1]  # short frames have but few lines: others count as well
    same = often > 0.7 * frames and often > 0.3 * long_
    return not (regular or always_last or one_piece or same)


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
