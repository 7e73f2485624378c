"""Chains of two: a transform in front of a place, or behind it, where no single law is enough."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from framecheck.laws import _bits
from framecheck.laws._model import (
    FCS,
    UNWRITTEN,
    WRITTEN,
    Flags,
    Law,
    Mechanism,
    Octets,
    Stream,
    check_sequence,
    stream,
)
from framecheck.laws._sample import ANY, BEFORE, FILL, Case, Sample
from framecheck.laws._score import law_bits, values
from framecheck.laws.search import (
    NEAR,
    Hypothesis,
    mechanisms,
    proposed,
    search,
    unrelated_bits,
)

MOST = 5
"""Transforms that are tried, the nearest ones."""
_EACH = 12
"""Places behind one transform that are weighed exactly."""
_GLANCE = 8
"""Frames by which the nearest transforms are found."""
_FIRST = 2
"""Frames by which those that make nothing right are given up."""
_SINGLE, _SINGLE_IN = 4, 50
"""Octets that a frame may hold besides: a few, and one in so many."""
_CHAIN = 3.0
"""Bits for saying that there are two."""
_TRANSFORM_FIRST = 0.5
"""Bits for the less common order: most transforms happen when memory is read."""
_BY_VALUE = ("stuck", "crossed", "nibble", "reversal")
_BY_ORDER = ("swap", "halfword")


def chains(looked: Sample, known: Hypothesis) -> Iterator[Hypothesis]:
    """Chains of a transform and a place that come near the best law so far, on all frames."""
    small, best = _smaller(looked), known.law
    if best.family == "unrelated":
        limit = unrelated_bits(small.cases)
    else:
        limit = law_bits(small.cases, best)
    more = len(small.cases) < len(looked.cases)
    limit += best.prior + (NEAR if more else 0.0)
    for least, first in _nearest(small):
        for chained, bits in zip((_behind, _before), least, strict=True):
            if bits > limit + NEAR:
                continue
            laws = (told for law in chained(small, first, limit) for told in _sourced(small, law))
            for i, law in enumerate(laws):
                yield _weighed(looked, law)
                if i == 0:
                    told = law_bits(small.cases, law) + law.prior
                    limit = min(limit, told + (NEAR if more else 0.0))


def _smaller(looked: Sample) -> Sample:
    cases = [looked.cases[i] for i in looked.telling]
    small = Sample(cases, looked.sources, looked.fill, looked.ring)
    small.told = looked.told  # what transforms propose is read off the telling frames alone
    return small


_Least = tuple[float, float]


def _nearest(small: Sample) -> list[tuple[_Least, Law]]:
    """Transforms that leave the fewest octets wrong, one of each kind that is worth a try, with
    the bits that a place behind each and in front of it costs at least, the cheapest first."""
    singles = proposed(small, [m for m in mechanisms() if m.transform])
    cases = [c for c in small.cases if c.received is not None and not c.blind][:_GLANCE]
    nothing = next(m for m in mechanisms() if m.family == "sound")
    nothing_first, most = (_left(Law(nothing, {}), c) for c in (cases[:_FIRST], cases))
    better = []
    for law in singles:
        # A transform that makes no octet right is none.
        if law.source in (None, ANY) and _left(law, cases[:_FIRST]) < nothing_first:
            left = _left(law, cases)
            if left < most:
                better.append((left + law.prior, law))
    ranked = sorted(better, key=lambda r: (r[0], repr(r[1].key())))
    found: dict[tuple[object, ...], tuple[_Least, Law]] = {}
    for _, law in ranked:
        key = (*law.key(), law.parameters.get("_written"))
        if len(found) < MOST and key not in found:
            least = _least(law, cases)
            if min(least) < float("inf"):
                found[key] = least, law
    return sorted(found.values(), key=lambda f: min(f[0]) + f[1].prior)


def _left(law: Law, cases: Sequence[Case]) -> float:
    """Bits of octets that are not as the law alone foretells: most may be a place's."""
    octets = 0
    proved = law.family == "fcs" and law.parameters["k"] == FCS
    for case in cases:
        assert case.received is not None
        made = law.received(case.stream())
        if made is None:
            return float("inf")
        expected, known = values(case, made, law.source)
        right = int((known & (expected == case.received[: len(expected)])).sum())
        # Another length than the foretold one counts once: what does not come may be a place's.
        octets += len(case.received) - right + (len(made.values) != len(case.received))
        # A sum that holds over what came says so itself, however little of the frame that is.
        own = check_sequence(case.received[:-FCS]).tobytes()
        proved = proved and own == case.received[-FCS:].tobytes()
    return 0.0 if proved and cases else _bits.UNKNOWN * octets


def _least(law: Law, cases: Sequence[Case]) -> _Least:
    """Bits that a transform with any place costs at least: octets that it does not make, and that
    are not old. Infinite where that is so in most frames, but for single octets.

    Two numbers: old octets as the buffer held them, and as they come through the transform.
    """
    fits, bits = [0, 0], [law.prior, law.prior]
    for rest, case in zip(range(len(cases), 0, -1), cases, strict=True):
        if 2 * (max(fits) + rest) < len(cases):
            break  # too few are left
        made = law.received(case.stream())
        if made is None or case.received is None or FILL not in case.sources:
            return 0.0, 0.0
        size = min(len(made.values), len(case.received), case.length)
        there = case.received[:size]
        odd = (made.values[:size] != there) & (made.states[:size] == WRITTEN)
        odd &= ~case.ignored[:size]
        # What was read before has been through the transform.
        odd &= ~_old(None, case.sources[BEFORE], there)
        others = [held for name, held in case.sources.items() if name not in (ANY, BEFORE)]
        for i, through in enumerate((None, law)):
            if 2 * (fits[i] + rest) < len(cases):
                continue
            left = odd
            for held in others:
                left = left & ~_old(through, held, there) if left.any() else left
            at = np.flatnonzero(left)
            fits[i] += len(at) <= _SINGLE + size // _SINGLE_IN
            # What the transform leaves as it was must be old, or costs its eight bits.
            least = 0.0 if through else _bits.UNKNOWN * _strange(made, case, size)
            if len(at):
                least = max(least, min(_bits.WRONG * len(at), 8.0 * (at[-1] - at[0] + 1)))
            bits[i] += least * case.weight
    enough = [2 * f >= len(cases) for f in fits]
    plain, turned = (b if e else float("inf") for b, e in zip(bits, enough, strict=True))
    return plain, turned


def _strange(made: Stream, case: Case, size: int) -> int:
    """Octets that a transform leaves unwritten, and that nothing old explains."""
    if UNWRITTEN not in made.states[:size]:
        return 0
    assert case.received is not None
    open_ = (made.states[:size] == UNWRITTEN) & ~case.ignored[:size]
    for name, held in case.sources.items():
        for old in (held[:size], held[np.minimum(made.places[:size], len(held) - 1)]):
            if name != ANY:
                open_ &= (old != case.received[:size]) & (old >= 0)
    return int(np.count_nonzero(open_))


def _old(law: Law | None, held: NDArray[np.int16], there: Octets) -> Flags:
    """Which octets may be old ones: as the buffer held them, or as the transform shows them."""
    size = len(there)
    if law is None:
        same: Flags = (held[:size] == there) | (held[:size] < 0)
        return same
    made = law.received(stream(np.maximum(held, 0).astype(np.uint8)))
    shown = np.zeros(size, bool)
    if made is not None:
        part = min(size, len(made.values))
        shown[:part] = (made.values[:part] == there[:part]) | (made.states[:part] != WRITTEN)
    return shown


def _places() -> Sequence[Mechanism]:
    return [m for m in mechanisms() if not m.transform and not m.last and m.family != "ring"]


def _sourced(small: Sample, law: Law) -> Iterator[Law]:
    """The chain once for every source, if only its transform leaves octets as they were."""
    made = (law.received(case.stream()) for case in small.cases if law.source is None)
    if any(came is not None and UNWRITTEN in came.states for came in made):
        assert law.then is not None
        for source in small.sources:
            yield replace(law, source=source, then=replace(law.then, source=source))
    else:
        yield law


def _behind(small: Sample, first: Law, limit: float) -> Iterator[Law]:
    """sent, transform, place: the place meets frames as the transform leaves them."""
    cases = []
    for case in small.cases:
        made = first.received(case.stream())
        if made is None or not len(made.values):
            return
        cases.append(_other_sent(case, made.values, made.states != WRITTEN))
    own = first.prior + _CHAIN + _TRANSFORM_FIRST
    for h in _best(Sample(cases, small.sources, small.fill, small.ring), limit - own):
        prior = own + h.law.prior
        second = Law(h.law.mechanism, h.law.parameters, h.law.source)
        yield Law(first.mechanism, first.parameters, h.law.source, prior, second)


def _before(small: Sample, last: Law, limit: float) -> Iterator[Law]:
    """sent, place, transform: the place is seen once the transform is undone."""
    family = last.family
    if family in _BY_VALUE:
        cases = [_by_value(case, last) for case in small.cases]
    elif family in _BY_ORDER or family in ("insert", "fcs", "append"):
        cases = [_undone(case, last) for case in small.cases]
    else:
        return
    own = last.prior + _CHAIN
    for h in _best(Sample(cases, small.sources, small.fill, small.ring), limit - own):
        prior = own + h.law.prior
        second = Law(last.mechanism, last.parameters, h.law.source)
        yield Law(h.law.mechanism, h.law.parameters, h.law.source, prior, second)


def _best(sample: Sample, limit: float) -> list[Hypothesis]:
    found = search(sample, _places(), limit)
    return [h for h in found if h.law.family != "sound"][:_EACH]


def _weighed(looked: Sample, law: Law) -> Hypothesis:
    evidence = law_bits(looked.cases, law)
    return Hypothesis(law, evidence, evidence + law.prior)


def _other_sent(case: Case, values: Octets, unsure: Flags) -> Case:
    return replace(case, sent=values, ignored=unsure, behind=None, _damaged=None, _stream=None)


def _by_value(case: Case, last: Law) -> Case:
    """Each octet is changed by itself, the old ones too."""
    made = last.received(case.stream())
    assert made is not None
    sources = {}
    for name, held in case.sources.items():
        if name == BEFORE:  # what was read has gone through the change before
            sources[name] = held
            continue
        changed = last.received(stream(np.maximum(held, 0).astype(np.uint8)))
        assert changed is not None
        sources[name] = np.where(held < 0, -1, changed.values).astype(np.int16)
    other = _other_sent(case, made.values, case.ignored)
    other.sources = sources
    return other


def _undone(case: Case, last: Law) -> Case:
    """What stood there before the transform: these orders undo themselves."""
    if case.received is None:
        return case
    p = last.parameters
    if last.family in ("fcs", "append"):
        received, ignored = case.received[: -p["k"]], case.ignored
    elif last.family == "insert":
        at, k = p["at"], p["k"]
        received = np.concatenate([case.received[:at], case.received[at + k :]])
        ignored = case.ignored
    else:
        made = last.received(stream(case.received))
        assert made is not None
        received = made.values
        # What a part word brings from behind the end is gone.
        ignored = case.ignored.copy()
        size = min(len(ignored), len(made.states))
        ignored[:size] |= made.states[:size] != WRITTEN
    sources = dict(case.sources)
    if last.family in _BY_ORDER:
        held = sources[BEFORE]
        turned = last.received(stream(np.maximum(held, 0).astype(np.uint8)))
        assert turned is not None
        there = last.received(stream((held >= 0).astype(np.uint8)))
        assert there is not None
        sources[BEFORE] = np.where(there.values > 0, turned.values, -1).astype(np.int16)
    return replace(
        case,
        received=received,
        ignored=ignored,
        sources=sources,
        behind=None,
        _damaged=None,
    )
