"""How well a law foretells frames, in bits; one by one, or many places side by side."""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from dataclasses import replace
from math import log2
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from framecheck.laws import _bits
from framecheck.laws._model import FOREIGN, UNWRITTEN, Index, Law, Stream
from framecheck.laws._sample import ANY, BEFORE, Case
from framecheck.laws._when import of_place

Bits = NDArray[np.float64]


class Foretold(NamedTuple):
    """One frame under a law."""

    bits: float
    wrong: int
    """Octets that contradict the law."""
    holds: bool
    """Whether the frame is what the law foretells, octet for octet."""


def score(case: Case, foretold: Stream | None, source: str | None) -> Foretold:
    """The cost of a frame, the law's foretold octets being given."""
    if case.received is None:
        return Foretold(0.0 if foretold is None else _bits.ABSENT, 0, foretold is None)
    if foretold is None:
        plain = score(case, case.stream(), None)
        return Foretold(_bits.ABSENT + plain.bits, plain.wrong, False)
    expected, known = values(case, foretold, source)
    size = len(expected)
    there = case.received[:size]
    bad = known & (expected != there)
    if case.length >= size:
        bad &= ~case.ignored[:size]
    at = np.flatnonzero(bad)
    told = case.told
    if told is not None:
        unwritten = foretold.states[:size] == UNWRITTEN
        written = float(told[:size][~unwritten].sum())
        open_ = int((unwritten & ~known).sum())
        return _weighed(case, foretold, at, int(unwritten.sum()) - open_, open_, written)
    compared = int(np.count_nonzero(known))
    known_better = _behind(case, known) if compared < size else 0.0
    return _weighed(case, foretold, at, compared, size - compared, -known_better)


def _behind(case: Case, known: NDArray[np.bool_]) -> float:
    """Bits that octets behind the frame cost less than others of which a law says nothing."""
    if case.behind is None:
        return 0.0
    open_ = ~known[case.length :]
    return float((_bits.UNKNOWN - case.behind[: len(open_)])[open_].sum())


def values(
    case: Case, foretold: Stream, source: str | None
) -> tuple[NDArray[np.int16], NDArray[np.bool_]]:
    """Foretold values as far as something was received, and where they are known."""
    assert case.received is not None
    size = min(len(foretold.values), len(case.received))
    states = foretold.states[:size]
    expected = foretold.values[:size].astype(np.int16)
    if not np.count_nonzero(states):
        return expected, np.ones(size, bool)
    held = case.sources[source or ANY]
    where = np.flatnonzero(states == UNWRITTEN)
    if len(where):
        expected[where] = _held(case, foretold, source, held, where)
    if FOREIGN in states:
        expected[states == FOREIGN] = -1
    return expected, expected >= 0


def _held(
    case: Case, foretold: Stream, source: str | None, held: NDArray[np.int16], where: Index
) -> NDArray[np.int16]:
    """What the buffer shows at some unwritten octets."""
    places = np.minimum(foretold.places, len(held) - 1)
    old = _after(held[places], foretold)[where] if foretold.after else held[places[where]]
    if source != BEFORE or len(held) < len(places):
        return old
    # What was read before went through the same change and stood at the same place.
    return np.where(where < case.replayed, held[where], old)


def _after(old: NDArray[np.int16], foretold: Stream) -> NDArray[np.int16]:
    """Old octets as they come out of the buffer."""
    octets = np.maximum(old, 0).astype(np.uint8)
    for change in foretold.after:
        octets = change(octets)
    return np.where(old < 0, np.int16(-1), octets.astype(np.int16))


def _weighed(
    case: Case, foretold: Stream, at: Index, compared: int, unknown: int, extra: float
) -> Foretold:
    assert case.received is not None
    wrong, m = len(at), len(case.received)
    length = _bits.length_bits(len(foretold.values), m)
    base = 8.0 * unknown + length + extra
    isolated = (compared - wrong) * _bits.RIGHT + wrong * _bits.WRONG + base + _bits.KEPT
    given_up = 8.0 * m + 8 + _bits.LOST
    burst = given_up
    if wrong:
        burst = 8.0 * (at[-1] - at[0] + 1) + 2 * log2(max(2, m)) + base + _bits.LOST
    least = min(isolated, burst, given_up)
    return Foretold(float(least), wrong, wrong == 0 and length == 0.0)


def foretold(law: Law, case: Case) -> tuple[Stream | None, float]:
    """What a law foretells for a frame (None: it does not come), and the bits of saying it."""
    if law.when is not None:
        if "share" in law.when:
            return _at_random(law, law.when["share"], case)
        if not of_place(law.when, case.seen.number, case.seen.order):
            return case.stream(), 0.0
    fit = law.mechanism.fit
    return (
        (law.received(case.stream()), 0.0) if fit is None else fit(law.parameters, case, law.source)
    )


def _at_random(law: Law, share: float, case: Case) -> tuple[Stream | None, float]:
    """Where a law holds by chance: what says the frame in fewer bits, and those of the choice."""
    made = replace(law, when=None).received(case.stream())
    held, kept = -log2(max(share, 0.01)), -log2(max(1 - share, 0.01))
    plain = case.stream()
    under_law, as_sent = score(case, made, law.source).bits, score(case, plain, None).bits
    if under_law == as_sent:
        return plain, 0.0  # nothing tells which it was
    return (made, held) if under_law + held < as_sent + kept else (plain, kept)


def under(law: Law, case: Case) -> Foretold:
    """How well a law foretells a frame."""
    made, bits = foretold(law, case)
    found = score(case, made, law.source)
    return found._replace(bits=found.bits + bits) if bits else found


def law_bits(cases: Sequence[Case], law: Law, limit: float = float("inf")) -> float:
    """Bits of all frames under a law, its own not counted; stops above ``limit``."""
    total = 0.0
    for case in cases:
        total += under(law, case).bits * case.weight
        if total > limit:
            break
    return total


class Table:
    """Prefix sums over frames: what any unwritten range would cost, without looking again."""

    def __init__(self, cases: Sequence[Case], sources: Sequence[str]) -> None:
        came = [c for c in cases if c.received is not None]
        lengths = np.array([c.length for c in came], np.int64)
        received = np.array([_received(c) for c in came], np.int64)
        size = np.minimum(lengths, received)
        self.width = int(size.max(initial=0)) + 1
        self._choose(cases, lengths, received, np.arange(len(came)) * self.width)
        there = np.full((len(came), self.width), -1, np.int16)
        sent, looked = there.copy(), np.zeros(there.shape, bool)
        told = np.zeros(there.shape) if self.blind.any() else None
        for row, case in enumerate(came):
            n = int(size[row])
            assert case.received is not None
            there[row, :n], sent[row, :n] = case.received[:n], case.sent[:n]
            looked[row, :n] = ~case.ignored[:n]
            if told is not None and case.told is not None:
                told[row, :n] = case.told[:n]
        self.written = _Marks((sent != there) & looked)
        self.told = None if told is None else _sums(told)
        self.held: dict[str, _Marks] = {}
        self.unknown: dict[str, Index | None] = {}
        for name in sources:
            if name != ANY:
                self._add(name, there, looked)

    def _choose(self, cases: Sequence[Case], lengths: Index, received: Index, base: Index) -> None:
        """The frames of which sums are asked, and where each begins among the octets."""
        self.cases = [c for c in cases if c.received is not None]
        self.lost = sum(c.weight for c in cases if c.received is None)
        self.weights = np.array([c.weight for c in self.cases])
        self.lengths, self.received, self._base = lengths, received, base
        self.size = np.minimum(lengths, received)
        self.length_bits = np.array([_bits.length_bits(c.length, _received(c)) for c in self.cases])
        self.blind = np.array([c.blind for c in self.cases], bool)
        self._end = base + self.size
        self._ends: dict[str, Bits] = {}
        self._given_up = 8.0 * received + 8 + _bits.LOST
        self._burst = 2 * np.log2(np.maximum(2, received))

    def some(self, cases: Sequence[Case]) -> Table:
        """The same for some of the frames; nothing is summed up anew."""
        rows = {id(c): i for i, c in enumerate(self.cases)}
        chosen = np.array([rows[id(c)] for c in cases if c.received is not None], np.int64)
        part = copy(self)
        part._choose(cases, self.lengths[chosen], self.received[chosen], self._base[chosen])
        return part

    def _add(self, source: str, there: NDArray[np.int16], looked: NDArray[np.bool_]) -> None:
        held = np.zeros(there.shape, np.int16)
        for row, case in enumerate(self.cases):
            n = int(self.size[row])
            held[row, :n] = case.sources[source][:n]
        unknown = held < 0
        self.unknown[source] = _sums(unknown.astype(np.int32)) if unknown.any() else None
        self.held[source] = _Marks((held != there) & ~unknown & looked)

    def totals(self, start: Index, stop: Index, source: str) -> Bits:
        """Bits of all frames, law by law; frames that did not come are foretold by none."""
        return self.by_source(start, stop, (source,))[0]

    def by_source(self, start: Index, stop: Index, sources: Sequence[str]) -> list[Bits]:
        """The same for each source: unwritten ranges, laws by frames."""
        a = np.minimum(np.maximum(start, 0), self.size)
        b = np.minimum(np.maximum(stop, a), self.size)
        if a.size > self.width * len(self.cases) and (b == self.size).all():
            # More laws than places at which a rest can begin: each place is weighed once.
            places = a * len(self.cases) + np.arange(len(self.cases))
            found = [bits.take(places) for bits in self._rests(sources)]
        else:
            found = self._bits(a, b, sources)
        lost = self.lost * _bits.ABSENT
        return [bits @ self.weights + lost for bits in found]

    def _rests(self, sources: Sequence[str]) -> list[Bits]:
        """What each frame costs if it is unwritten from a place on: places by frames."""
        asked = [s for s in sources if s not in self._ends]
        if asked:
            a = np.minimum(np.arange(self.width)[:, None], self.size)
            found = self._bits(a, np.broadcast_to(self.size, a.shape), asked)
            self._ends |= dict(zip(asked, found, strict=True))
        return [self._ends[s] for s in sources]

    def _bits(self, a: Index, b: Index, sources: Sequence[str]) -> list[Bits]:
        """Bits of each frame under unwritten ranges that are clipped to it, by source."""
        ia, ib = self._base + a, self._base + b
        written = self.written
        outside = written.sums[self._end] - written.sums[ib] + written.sums[ia]
        edges = _edges(written, self._base, a, b, ia, ib, self.size)
        told = None
        if self.told is not None:
            told = self.told[self._end] - self.told[ib] + self.told[ia]
        found = []
        for source in sources:
            wrong, (first, last), unknown = outside, edges, None
            if source == ANY:
                unknown = b - a
            else:
                held, open_ = self.held[source], self.unknown[source]
                unknown = None if open_ is None else open_[ib] - open_[ia]
                wrong = wrong + held.sums[ib] - held.sums[ia]
                inner = held.next[ia]
                first = np.minimum(first, np.where(inner < b, inner, _FAR))
                inner = held.previous[ib]
                last = np.maximum(last, np.where(inner >= a, inner, -1))
            found.append(self._weighed(b - a, wrong, unknown, told, last - first))
        return found

    def _weighed(
        self, inside: Index, wrong: Index, unknown: Index | None, told: Bits | None, spread: Index
    ) -> Bits:
        """Bits of each frame: the least of the three explanations."""
        compared: Index = self.size
        if self.told is not None:
            compared = np.where(self.blind, inside, self.size)
        base = self.length_bits
        if unknown is not None:
            compared = compared - unknown
            base = 8.0 * unknown + base
        if told is not None:
            base = base + told
        isolated = (compared - wrong) * _bits.RIGHT
        isolated += wrong * _bits.WRONG
        isolated += base
        isolated += _bits.KEPT
        burst = 8.0 * (spread + 1)
        burst += self._burst
        burst += base
        burst += _bits.LOST
        burst = np.where(wrong > 0, burst, self._given_up)
        least: Bits = np.minimum(np.minimum(isolated, burst), self._given_up)
        return least

    def holds(self, start: Index, stop: Index, source: str) -> NDArray[np.bool_]:
        """Whether frames, columns, are as laws, rows, foretell them, octet for octet."""
        a = np.minimum(np.maximum(start, 0), self.size)
        b = np.minimum(np.maximum(stop, a), self.size)
        ia, ib = self._base + a, self._base + b
        sums = self.written.sums
        wrong = sums[self._end] - sums[ib] + sums[ia]
        if source != ANY:
            wrong = wrong + self.held[source].sums[ib] - self.held[source].sums[ia]
        found: NDArray[np.bool_] = (wrong == 0) & (self.length_bits == 0)
        return found


_FAR = 1 << 30


class _Marks:
    """Marked octets of all frames: running sums, and the nearest mark ahead and behind."""

    __slots__ = ("next", "previous", "sums")

    def __init__(self, marks: NDArray[np.bool_]) -> None:
        rows, width = marks.shape
        column = np.arange(width, dtype=np.int32)
        self.sums = _sums(marks.astype(np.int32))
        ahead = np.where(marks, column, np.int32(_FAR))
        ahead = np.minimum.accumulate(ahead[:, ::-1], axis=1)[:, ::-1]
        self.next = ahead.ravel()
        behind = np.maximum.accumulate(np.where(marks, column, np.int32(-1)), axis=1)
        # The last mark in front of an octet, not at it.
        shifted = np.full((rows, width), -1, np.int32)
        shifted[:, 1:] = behind[:, :-1]
        self.previous = shifted.ravel()


def _sums(values: NDArray[Any]) -> NDArray[Any]:
    """Sum of everything in front of an octet, frames one behind the other; of the same type."""
    out = np.zeros_like(values)
    np.cumsum(values[:, :-1], axis=1, dtype=values.dtype, out=out[:, 1:])
    return out.ravel()


def _edges(
    marks: _Marks, base: Index, a: Index, b: Index, ia: Index, ib: Index, size: Index
) -> tuple[Index, Index]:
    """First and last mark outside of [a, b), within the frame."""
    head = marks.next[base]
    first = np.where(head < a, head, _FAR)
    behind = marks.next[ib]
    first = np.minimum(first, np.where(behind < size, behind, _FAR))
    tail = marks.previous[base + size]
    last = np.where(tail >= b, tail, -1)
    front = marks.previous[ia]
    return first, np.maximum(last, front)


def _received(case: Case) -> int:
    return 0 if case.received is None else len(case.received)
