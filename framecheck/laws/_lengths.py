"""What laws foretell for frames of other lengths: where they part, and which to send next."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from functools import cache, lru_cache
from math import log2
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from framecheck.laws._model import LENGTHS, UNWRITTEN, WRITTEN, Law, Octets, Stream, stream

_SOME = (*range(60, 193), *range(250, 260), 342, 511, 512, 513, 590, 767, 1023, 1024, 1025)
_LONG = (1279, 1280, 1281, 1345, 1409, 1499, 1500, 1513, 1514)
SAMPLED = tuple(_SOME + _LONG)
"""Lengths at which laws are compared that cannot be compared side by side."""


SOURCE, GROUP = bytes.fromhex("02a75ce139d4"), bytes.fromhex("01005e7a3546")
"""An address of one's own (locally administered, IEEE 802) and one of an IPv4 group (RFC 1112), in
which neighbouring octets differ in most bits: they part laws that other addresses do not."""


@cache
def content(length: int, head: bytes = b"") -> Octets:
    """Octets of a frame in which no two neighbours repeat in the same order, ``head`` in front."""
    i = np.arange(length, dtype=np.uint32)
    # A multiplicative hash (Knuth, The Art of Computer Programming 6.4); the place decides.
    mixed = (i + np.uint32(1)) * np.uint32(2654435761)
    octets = (mixed >> np.uint32(24)).astype(np.uint8)
    octets[: len(head)] = np.frombuffer(head, np.uint8)
    return octets


@lru_cache(1024)
def _sent(length: int, head: bytes) -> Stream:
    return stream(content(length, head))


def place_law(law: Law) -> bool:
    """Whether the law is a plain unwritten range."""
    return law.mechanism.spans is not None and law.then is None and law.when is None


def behaviour(law: Law, length: int, head: bytes = b"") -> Hashable:
    """What the law does to a frame of this length; equal for laws that do the same.

    ``head``: the frame's first octets.
    """
    if place_law(law):
        assert law.mechanism.spans is not None
        start, stop = law.mechanism.spans(law.parameters, length)
        return _range(int(start), int(stop), length)
    if law.mechanism.many is not None:
        times = law.mechanism.many(law.parameters, length)
        return (law.family, times) if times else "as sent"
    if law.family == "late":
        return "as sent"  # each frame is whole
    if law.mechanism.fit is not None:
        return law.key()  # what it does depends on more than the length
    if law.family == "unrelated":
        return law.key()
    sent = _sent(length, head)
    made = law.received(sent)
    if made is None:
        return "nothing comes"
    if len(made.values) == length and np.array_equal(made.values, sent.values):
        where = np.flatnonzero(made.states == UNWRITTEN)
        if not made.states.any():
            return "as sent"
        if len(where) and where[-1] - where[0] + 1 == len(where) == np.count_nonzero(made.states):
            return _range(int(where[0]), int(where[-1]) + 1, length)
    # Behind the frame old octets and foreign ones look alike; in it foreign ones count as zeros.
    behind = (made.states != WRITTEN) & (np.arange(len(made.values)) >= length)
    hidden = behind | (made.states == UNWRITTEN)
    return np.where(hidden, 0, made.values).tobytes(), hidden.tobytes()


def _range(start: int, stop: int, length: int) -> Hashable:
    start, stop = max(0, start), min(stop, length)
    return (start, stop) if start < stop else "as sent"


def parting(one: Law, other: Law) -> int | None:
    """The shortest frame that parts two laws, or None."""
    if place_law(one) and place_law(other):
        a, b = ranges(one), ranges(other)
        apart = np.flatnonzero((a != b).any(axis=0))
        return LENGTHS[int(apart[0])] if len(apart) else None
    for length in _telling([one, other]):
        if behaviour(one, length) != behaviour(other, length):
            return length
    return None


def ranges(law: Law) -> NDArray[np.int64]:
    """First and last-plus-one unwritten octet for every length; equal ranges are equal columns."""
    assert law.mechanism.spans is not None
    lengths = np.arange(LENGTHS.start, LENGTHS.stop)
    start, stop = law.mechanism.spans(law.parameters, lengths)
    start, stop = np.maximum(0, start + 0 * lengths), np.minimum(stop, lengths)
    empty = start >= stop
    return np.where(empty, -1, np.stack([start, stop]))


def frames_needed(laws: Sequence[Law], length: int) -> int:
    """How many frames of one length, one after another, show what every law does."""
    shown = [law.mechanism.many(law.parameters, length) for law in laws if law.mechanism.many]
    return max((max(turn for turn, _ in times[:2]) for times in shown if times), default=1)


class Next(NamedTuple):
    """The frame to send next."""

    length: int
    parts: list[list[int]]
    """Laws, by their places, that foretell the same."""
    head: bytes
    """Its first octets."""


def next_length(
    laws: Sequence[Law], weights: Sequence[float], heads: Sequence[bytes] = (b"",)
) -> Next | None:
    """The frame length that parts the laws best, the shortest of such, and the parts.

    ``weights``: posterior shares; ``heads``: what a frame may begin with, the first one that parts
    anything is taken. None: no length does.
    """
    for head in heads:
        found = _best(laws, weights, head)
        if found is not None:
            return found
    return None


def _best(laws: Sequence[Law], weights: Sequence[float], head: bytes) -> Next | None:
    columns: Iterable[tuple[int, list[Hashable]]]
    if all(place_law(law) for law in laws):
        rows = [[tuple(c) for c in ranges(law).T.tolist()] for law in laws]
        columns = ((n, [row[i] for row in rows]) for i, n in enumerate(LENGTHS))
    else:
        columns = ((n, [behaviour(law, n, head) for law in laws]) for n in _telling(laws))
    best: Next | None = None
    most = 1e-9
    for length, column in columns:
        parts: dict[Hashable, list[int]] = {}
        for i, done in enumerate(column):
            parts.setdefault(done, []).append(i)
        if len(parts) == 1:
            continue
        shares = [sum(weights[i] for i in part) for part in parts.values()]
        whole = sum(shares)
        gain = -sum(s / whole * log2(s / whole) for s in shares)
        if gain > most + 1e-9:
            best, most = Next(length, list(parts.values()), head), gain
        if len(parts) == len(laws):
            break  # nothing tells more
    return best


def _telling(laws: Sequence[Law]) -> list[int]:
    """Lengths at which laws are compared: a fixed choice, and those at their own edges."""
    edges: set[int] = set()
    for law in laws:
        for told in (law.parameters, law.when or {}, law.then.parameters if law.then else {}):
            for value in told.values():
                for at in value if isinstance(value, list) else [value]:
                    if isinstance(at, int):
                        edges |= {at - 1, at, at + 1}
    return sorted({*SAMPLED, *(n for n in edges if n in LENGTHS)})
