"""The words of a law: what a mechanism does to octets, its parameters, and what they cost."""

from __future__ import annotations

import zlib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from framecheck.laws._when import When, condition, of_length

if TYPE_CHECKING:
    from framecheck.laws._sample import Case, Sample

Octets = NDArray[np.uint8]
Index = NDArray[np.int64]
Flags = NDArray[np.bool_]
Parameters = Mapping[str, Any]

WRITTEN, UNWRITTEN, FOREIGN = 0, 1, 2
"""What stands at an octet: what was sent, what the buffer held before, or nothing that is known."""

FCS = 4
"""Octets of the frame check sequence."""
LENGTHS = range(60, 1515)
"""Frame lengths that can be sent as a probe, FCS not counted."""


class Stream(NamedTuple):
    """A frame on its way: values where they are written, states, and places in the buffer."""

    values: Octets
    states: Octets
    places: Index
    """The buffer's octet that shows where a state is UNWRITTEN."""
    length: int
    """Octets of the sent frame."""
    after: tuple[Callable[[Octets], Octets], ...] = ()
    """What old octets go through on their way out of the buffer, as a whole row."""

    def take(self, index: Index) -> Stream:
        """The octets in another order; an index behind the end shows the buffer there."""
        size = len(self.values)
        behind = index >= size
        if not np.count_nonzero(behind):
            if not np.count_nonzero(self.states):
                # Where all is written, places say nothing.
                return self._moved(self.values[index], np.zeros(len(index), np.uint8), index)
            return self._moved(self.values[index], self.states[index], self.places[index])
        safe = np.where(behind, 0, index)
        return self._moved(
            self.values[safe],
            np.where(behind, UNWRITTEN, self.states[safe]).astype(np.uint8),
            np.where(behind, index, self.places[safe]),
        )

    def _moved(self, values: Octets, states: Octets, places: Index) -> Stream:
        return Stream(values, states, places, self.length, self.after)

    def written_to(self, index: Index) -> Stream:
        """The same where words are turned as they are written: gaps show the buffer as it stands.

        ``index``: the order of ``take``, which undoes itself.
        """
        out = self.take(index)
        own = np.arange(len(out.places))
        return out._replace(places=np.where(index >= len(self.values), own, out.places))

    def unwritten(self, where: Flags) -> Stream:
        """The same, with octets that the transfer leaves as the buffer had them."""
        own = np.arange(len(self.values))
        if not np.count_nonzero(self.states):
            return self._moved(self.values, where.astype(np.uint8) * np.uint8(UNWRITTEN), own)
        return self._moved(
            self.values,
            np.where(where, UNWRITTEN, self.states).astype(np.uint8),
            np.where(where, own, self.places),
        )

    def changed(self, change: Callable[[Octets], Octets]) -> Stream:
        """Each octet changed where it stands, old ones too."""
        old = (*self.after, change) if UNWRITTEN in self.states else ()
        return Stream(change(self.values), self.states, self.places, self.length, old)


def stream(sent: Octets) -> Stream:
    """A frame as it was sent."""
    size = len(sent)
    return Stream(sent, np.zeros(size, np.uint8), np.arange(size), size)


def check_sequence(values: Octets) -> Octets:
    """The FCS of a frame (IEEE 802.3: CRC-32, sent with its least significant octet first)."""
    return np.frombuffer(zlib.crc32(values.tobytes()).to_bytes(FCS, "little"), np.uint8)


def joined(*parts: Stream) -> Stream:
    """Streams one behind the other; the first gives the length."""
    return Stream(
        np.concatenate([p.values for p in parts]),
        np.concatenate([p.states for p in parts]),
        np.concatenate([p.places for p in parts]),
        parts[0].length,
    )


def foreign(count: int, length: int) -> Stream:
    """Octets that nothing is known of."""
    return Stream(
        np.zeros(count, np.uint8), np.full(count, FOREIGN, np.uint8), np.arange(count), length
    )


def buffer(start: int, stop: int, length: int) -> Stream:
    """Octets that still hold what the buffer held."""
    size = max(0, stop - start)
    places = np.arange(start, start + size)
    return Stream(np.zeros(size, np.uint8), np.full(size, UNWRITTEN, np.uint8), places, length)


class Proposal(NamedTuple):
    """Parameters that the evidence suggests, and what it costs to say them, in bits."""

    parameters: Parameters
    bits: float


class Grid(NamedTuple):
    """Many parameters of one mechanism side by side: a column each, and their bits."""

    columns: Mapping[str, Index]
    bits: NDArray[np.float64]
    fixed: Mapping[str, Any] = MappingProxyType({})
    """Parameters that all rows share."""

    def one(self, i: int) -> dict[str, Any]:
        """The parameters of one row."""
        return {n: int(column[i]) for n, column in self.columns.items()} | dict(self.fixed)


class Advice(NamedTuple):
    """What a driver does about a law, and what that costs."""

    says: str
    stays: str = ""
    """What stays dangerous."""
    extra: Callable[[int], int] | None = None
    """Octets more that are moved for a frame of this length."""
    code: str = ""
    """A sketch in C, where it helps."""


class Mechanism(NamedTuple):
    """One family of laws: what it does, what it may be, how it is said, what helps."""

    family: str
    share: float
    """How common it is among such faults, by hand; only its order of size matters."""
    says: Callable[[Parameters], str]
    """One plain sentence without its end; the source is added."""
    helps: Callable[[Parameters], Advice]
    apply: Callable[[Parameters, Stream], Stream | None] | None = None
    """What is received (None: nothing); mechanisms with ``spans`` need none."""
    propose: Callable[[Sample], Iterable[Proposal]] | None = None
    grid: Callable[[Sample], Grid] | None = None
    spans: Callable[[Mapping[str, Any], Any], tuple[Any, Any]] | None = None
    """First and last-plus-one unwritten octet, for parameters and lengths side by side."""
    placed: Callable[[Mapping[str, Any], Sequence[Case]], tuple[Any, Any]] | None = None
    """The same for laws whose range depends on more than the length: for parameters and frames."""
    fit: Callable[[Parameters, Case, str | None], tuple[Stream | None, float]] | None = None
    """For laws that need more than the sent frame: what is foretold, and what saying so costs."""
    many: Callable[[Parameters, int], tuple[tuple[int, int], ...]] | None = None
    """For laws that count frames: in which of many frames of one length, counted from 1, they
    show themselves, and at which octet."""
    transform: bool = False
    """Whether it can stand before or behind a place in a chain of two."""
    old: bool = False
    """Whether it can leave octets as the buffer had them, so that sources must be tried."""
    last: bool = False
    """Whether it is tried only where every other law leaves frames unexplained."""


@dataclass(frozen=True, slots=True)
class Law:
    """A mechanism with its parameters; ``source`` is where unwritten octets come from."""

    mechanism: Mechanism
    parameters: Parameters
    source: str | None = None
    prior: float = 0.0
    """Bits of its family, parameters and source."""
    then: Law | None = None
    when: When | None = None

    @property
    def family(self) -> str:
        """The family's name."""
        return self.mechanism.family

    def key(self) -> tuple[Any, ...]:
        """What makes it the same law, its source left out."""
        own = (self.family, repr(sorted(self.shown().items())), repr(self.when))
        return own + (self.then.key() if self.then else ())

    def shown(self) -> dict[str, Any]:
        """The parameters that are told; a name that begins with an underscore is not."""
        return {k: v for k, v in self.parameters.items() if k[0] != "_"}

    def received(self, sent: Stream) -> Stream | None:
        """What this law makes of a sent frame; None: nothing comes."""
        if self.when is not None and not of_length(self.when, sent.length):
            return sent
        found = applied(self.mechanism, self.parameters, sent)
        return found if found is None or self.then is None else self.then.received(found)


def clause(law: Law) -> str:
    """The first clause of what a law says, its ``then`` left out."""
    said = law.mechanism.says(law.parameters).split("; ")[0]
    return f"{condition(law.when)}, {said}" if law.when else said


def applied(mechanism: Mechanism, parameters: Parameters, sent: Stream) -> Stream | None:
    """What a mechanism makes of a frame."""
    if mechanism.spans is None:
        return mechanism.apply(parameters, sent) if mechanism.apply else sent
    start, stop = mechanism.spans(parameters, len(sent.values))
    where = np.zeros(len(sent.values), bool)
    where[max(0, int(start)) : max(0, int(stop))] = True
    return sent.unwritten(where)


def each(column: Iterable[Parameters]) -> Iterator[Proposal]:
    """Parameters that cost the logarithm of their number."""
    found = list(column)
    bits = float(np.log2(max(1, len(found))))
    for parameters in found:
        yield Proposal(parameters, bits)
