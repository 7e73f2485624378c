"""The evidence as arrays: each kept frame with what its buffer may have held before."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import log2

import numpy as np
from numpy.typing import NDArray

from framecheck.damage import Fill
from framecheck.laws import _bits
from framecheck.laws._model import (
    FCS,
    Index,
    Octets,
    Proposal,
    Stream,
    check_sequence,
    stream,
)
from framecheck.laws.gathered import RING, SHORTEST, Observation

FILL, ZERO, BEFORE, ANY = "fill", "zero", "frame before", "unknown"
BEYOND = 64
"""Octets of the buffer behind the longer of both frames that a law may show."""
_STEADY = 3
"""Frames that must agree on a column's value before it is one of theirs."""
TELLING = 24
"""Frames on which laws are tried first."""


@dataclass(slots=True)
class Case:
    """One frame: what was sent and received, and what stood in the buffer, by source."""

    seen: Observation
    weight: float
    sent: Octets
    """Where it is not known: what was received."""
    received: Octets | None
    blind: bool
    """Whether what was sent is not known."""
    ignored: NDArray[np.bool_]
    """Octets of padding whose true value nobody knows."""
    sources: dict[str, NDArray[np.int16]] = field(default_factory=dict)
    """Per source: the buffer's octets before the transfer, -1 where it is not known."""
    told: NDArray[np.float64] | None = None
    """Bits that each octet costs if it was written (only for blind cases)."""
    behind: NDArray[np.float64] | None = None
    """Bits of each received octet behind the sent length, by what other frames have there."""
    replayed: int = 0
    """Octets of the buffer that earlier frames, as they were read, say."""
    _damaged: bool | None = None
    _stream: Stream | None = None

    @property
    def length(self) -> int:
        """Octets of the sent frame."""
        return len(self.sent)

    @property
    def damaged(self) -> bool:
        """Whether what came is not what was sent."""
        if self._damaged is None:
            self._damaged = self.received is None or not np.array_equal(self.sent, self.received)
        return self._damaged

    def stream(self) -> Stream:
        """The frame as it was sent."""
        if self._stream is None:
            self._stream = stream(self.sent)
        return self._stream


@dataclass(slots=True)
class Sample:
    """The frames that a search looks at, and the sources that it tries."""

    cases: list[Case]
    sources: tuple[str, ...]
    fill: Fill | None = None
    ring: int = 1
    """In how many buffers frames come one after another, as far as the evidence says."""
    address: int | None = None
    """Where octet 0 of each received frame lies in memory."""
    told: dict[str, Sequence[Proposal]] = field(default_factory=dict)
    """What transforms propose, by family: they are asked again for chains."""
    _telling: list[int] | None = None
    _pairs: list[Case] | None = None

    @property
    def telling(self) -> list[int]:
        """Indices of the frames that say most: damaged ones of distinct lengths first."""
        if self._telling is None:
            self._telling = _telling(self.cases)
        return self._telling

    @property
    def pairs(self) -> list[Case]:
        """Telling frames of which both sides are known and that differ."""
        if self._pairs is None:
            chosen = (self.cases[i] for i in self.telling)
            self._pairs = [
                c for c in chosen if c.received is not None and not c.blind and c.damaged
            ]
        return self._pairs

    @property
    def blind(self) -> list[Case]:
        """Telling frames of which nobody knows what was sent."""
        return [self.cases[i] for i in self.telling if self.cases[i].blind]


def _telling(cases: Sequence[Case]) -> list[int]:
    seen: dict[tuple[int, bool], int] = {}
    ranked = []
    for i, case in enumerate(cases):
        open_ = case.damaged or case.blind
        kind = (case.length, open_)
        seen[kind] = seen.get(kind, 0) + 1
        ranked.append((seen[kind], not open_, i))
    damaged = [i for _, sound, i in sorted(ranked) if not sound]
    sound = [i for _, sound, i in sorted(ranked) if sound]
    few = TELLING // 4
    first = damaged[: TELLING - few] + sound[:few]
    first += damaged[TELLING - few :][: max(0, TELLING - len(first))]
    return first + sound[few:][: max(0, TELLING - len(first))]


def sample(observations: Iterable[tuple[Observation, float]], fill: Fill | None) -> Sample:
    """Make arrays of the kept frames; find in how many buffers they came by turns."""
    cases = [_case(seen, weight) for seen, weight in observations]
    ring = _ring(cases)
    sources = [BEFORE, ZERO, ANY]
    if fill is not None:
        sources.insert(0, FILL)
        if fill.constant == 0:
            sources.remove(ZERO)
    shown = Counter(c.seen.starts for c in cases if c.seen.starts is not None)
    usual = shown.most_common(1)[0][0] if shown else 0
    for case in cases:
        starts = usual if case.seen.starts is None else case.seen.starts
        _fill_in(case, fill, ring, starts)
    _tell_blind(cases)
    _tell_behind(cases)
    return Sample(cases, tuple(sources), fill, ring)


def _case(seen: Observation, weight: float) -> Case:
    received = None if seen.received is None else _array(seen.received)
    blind = seen.sent is None
    sent = _array(seen.sent) if seen.sent is not None else received
    assert sent is not None  # a frame that nobody sent and nobody received is none
    ignored = np.zeros(len(sent), bool)
    for start, stop in seen.unsure:
        ignored[start:stop] = True
    return Case(seen, weight, sent, received, blind, ignored)


def _array(octets: bytes) -> Octets:
    return np.frombuffer(octets, np.uint8)


def _fill_in(case: Case, fill: Fill | None, ring: int, starts: int) -> None:
    """What stood in the buffer, by source; ``starts``: the fill's offset at octet 0."""
    size = max(case.length, 0 if case.received is None else len(case.received)) + BEYOND
    if fill is not None:
        case.sources[FILL] = _array(fill.octets(starts, starts + size)).astype(np.int16)
    case.sources[ANY] = np.full(size, -1, np.int16)
    if case.blind:
        # Frames are alike, and full of zeros: without the truth only the fill says anything.
        case.sources[ZERO] = case.sources[BEFORE] = case.sources[ANY]
        return
    case.sources[ZERO] = np.zeros(size, np.int16)
    turns = case.seen.earlier[ring - 1 :: ring]
    case.replayed = max((len(octets) for octets in turns), default=0)
    case.sources[BEFORE] = before(case.seen.earlier, ring, size, case.sources.get(FILL))


def before(
    earlier: Sequence[bytes], ring: int, size: int, fill: NDArray[np.int16] | None = None
) -> NDArray[np.int16]:
    """What the same buffer held: earlier frames of its turn, the newest on top."""
    held = np.full(size, -1, np.int16) if fill is None or len(earlier) >= RING else fill.copy()
    done = 0
    for octets in earlier[ring - 1 :: ring]:
        stop = min(len(octets), size)
        if stop > done:
            held[done:stop] = _array(octets)[done:stop]
            done = stop
    return held


def _ring(cases: Sequence[Case]) -> int:
    """The number of buffers under which most wrong octets are those of the frame before; where
    none is wrong, most octets behind the sent frame."""
    wrong, behind = [], []
    for case in cases[:256]:
        if case.received is None or case.blind:
            continue
        size = min(case.length, len(case.received))
        at = np.flatnonzero(case.sent[:size] != case.received[:size])
        if len(at) > 0:
            wrong.append((case, at))
        surplus = _surplus(case, case.received)
        if len(surplus) > 0:
            behind.append((case, surplus))
    return _ring_by_octets(wrong[:64]) or _ring_by_octets(behind[:64]) or _ring_by_runs(wrong[:64])


def _surplus(case: Case, received: Octets) -> Index:
    """Octets behind the sent frame, and behind its FCS where that is there: what may be old."""
    start, own = case.length, received[case.length :][:FCS]
    if len(own) == FCS and np.array_equal(own, check_sequence(case.sent)):
        start += FCS
    return np.arange(start, len(received))


def _ring_by_octets(looked_at: Sequence[tuple[Case, Index]]) -> int:
    """The number of buffers under which most of these octets are old; 0 if under none."""
    best, most = 0, 0.0
    for ring in range(1, RING // 2 + 1):
        hits = looked = 0
        for case, at in looked_at:
            assert case.received is not None
            held = before(case.seen.earlier, ring, len(case.received))[at]
            known = held >= 0
            looked += int(known.sum())
            hits += int((held[known] == case.received[at][known]).sum())
        share = hits / looked if looked >= 8 else 0.0
        if share > max(0.6, most + 0.05):
            best, most = ring, share
    return best


def _ring_by_runs(wrong: Sequence[tuple[Case, Index]]) -> int:
    """The number of buffers where nearly all octets are wrong: by neighbours that are both old."""
    pairs = []
    for ring in range(1, RING // 2 + 1):
        found = 0
        for case, at in wrong:
            assert case.received is not None
            held = before(case.seen.earlier, ring, len(case.received))
            old = np.zeros(len(held), bool)
            old[at] = held[at] == case.received[at]
            found += int((old[1:] & old[:-1]).sum())
        pairs.append(found)
    # What all frames share is alike under every number.
    usual = sorted(pairs)[len(pairs) // 2]
    most = max(pairs)
    return pairs.index(most) + 1 if most >= usual + max(8, usual // 4) else 1


def _tell_blind(cases: Sequence[Case]) -> None:
    """What a written octet costs where it is not known: by the values that all frames have.

    Where a column has the same value in most frames (an address, a type), that is said once. No
    octet costs more than one of which nothing is known.
    """
    blind = [c for c in cases if c.blind and c.received is not None]
    if not blind:
        return
    counts = np.ones(256)
    for case in cases:
        if case.received is not None:
            counts += np.bincount(case.received, minlength=256)
    bits = np.minimum(np.log2(counts.sum() / counts), _bits.UNKNOWN)
    columns: list[Counter[int]] = [Counter() for _ in range(max(c.length for c in blind))]
    for case in blind:
        for column, value in zip(columns, case.sent.tolist(), strict=False):
            column[value] += 1
    steady = [_steady_bits(column) for column in columns]
    for case in blind:
        assert case.received is not None
        case.told = bits[case.received]
        values = enumerate(case.sent.tolist())
        own = np.array([steady[i].get(v, _bits.UNKNOWN) for i, v in values])
        case.told = np.minimum(case.told, own)


def _steady_bits(column: Counter[int]) -> dict[int, float]:
    """The value that stands in a column of most frames, and the bits of each of its octets."""
    value, often = column.most_common(1)[0]
    whole = sum(column.values())
    if often < _STEADY or 2 * often < whole:
        return {}
    return {value: _bits.UNKNOWN / often - log2(often / whole)}


def _tell_behind(cases: Sequence[Case]) -> None:
    """Octets behind the frame are no riddle where all frames have the same ones: status words."""
    longer = [
        (c, c.received[c.length :])
        for c in cases
        if c.received is not None and not c.blind and len(c.received) > c.length
    ]
    columns: list[Counter[int]] = []
    for _, octets in longer:
        for column, value in enumerate(octets.tolist()):
            if column == len(columns):
                columns.append(Counter())
            columns[column][value] += 1
    for case, octets in longer:
        values = enumerate(octets.tolist())
        case.behind = np.array([_column_bits(columns[j], v) for j, v in values])


def _column_bits(seen: Counter[int], value: int) -> float:
    """An octet told by how often it stands there; values that come again must be said once."""
    whole = sum(seen.values())
    said = _bits.UNKNOWN * sum(n > 1 for n in seen.values()) / whole
    own = -log2(seen[value] / whole) if seen[value] > 1 else _bits.UNKNOWN
    return min(_bits.UNKNOWN, own + said)


def padding_unknown(cases: Iterable[Case], sources: Iterable[str]) -> None:
    """Leave padding out of account that is neither zero nor anything that a buffer held."""
    names = [s for s in sources if s != ANY]
    for case in cases:
        if case.received is None or case.length != SHORTEST or case.blind:
            continue
        size = min(SHORTEST, len(case.received))
        odd = case.sent[:size] != case.received[:size]
        odd &= case.sent[:size] == 0
        for name in names:
            odd &= case.sources[name][:size] != case.received[:size]
        # Only a run of zeros at the end can be padding.
        content = np.flatnonzero(case.sent)
        odd[: int(content[-1]) + 1 if len(content) else 0] = False
        case.ignored[:size] |= odd


def lengths(cases: Iterable[Case]) -> Index:
    """The lengths of the sent frames."""
    return np.array([c.length for c in cases], np.int64)
