"""What the receive buffers held before each frame: a fill, wherever it starts, or earlier frames.

Boards read into one buffer or into several by turns, and fill them anew or not. The octets of a
frame that were never written tell which: they are the fill at the offset where it was expected, or
at another one, or what an earlier frame left in the same buffer, as it was read then.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise

from framecheck.core.sheet import Old
from framecheck.core.span import Range, common, runs, without
from framecheck.damage import Fill, fill
from framecheck.evidence.residue import Reading, claim, phase, read
from framecheck.evidence.ring import Left, Ring, foreign

_BEYOND_DOUBT = 40.0
"""Bits from which a fill's start is believed where nothing else is wrong."""
_ALL = bytes(range(256))
_TROUBLE = 16.0
"""The same where a sum fails, or what was sent is known to be other."""
_SEQUENCES = ("odd-parity", "letters")
"""Fills that are recognised though nobody named them: no frame or memory counts like that."""
_NAMED = 60.0
"""Bits from which one of them is."""
_NOT_KNOWN = Left()
_ISLANDS, _SHORT = 4, 8
"""More parts of a frame than these that are shorter than so many octets are of no buffer's."""
_SPOILT = 8
"""One octet in so many of a run may be another than the old one."""
_HELD, _OTHER, _LEAST = 7.8, -3.3, -8.0
"""Bits of a wrong octet that a fill explains, of one that it does not, and of a frame at least."""


class Buffers:
    """Sees the dumps of one board in their order, and says which octets were never written."""

    def __init__(self, given: Fill | None) -> None:
        self._fill = given
        self._ring = Ring()
        self._guesses = {} if given else {fill(name, files=False): 0.0 for name in _SEQUENCES}
        self._seen: bytes | None = None

    @property
    def recognised(self) -> Fill | None:
        """The fill that nobody named, and that the octets show."""
        return self._fill if self._guesses else None

    def held(self, head: int, size: int) -> bytes | None:
        """What the next frame's buffer holds behind ``head`` octets, as far as it is known."""
        if self._fill is not None:
            return self._fill.octets(head, head + size)
        earlier = self._ring.before(head + size)
        return None if earlier is None else earlier[head:]

    def look(
        self,
        number: int,
        dump: bytes,
        span: Range,
        *,
        inside: bool = False,
        proven: Sequence[Range] = (),
        failing: Sequence[Range] = (),
        truth: Sequence[int | None] = (),
    ) -> tuple[Old, ...]:
        """The octets of a frame that were never written, as far as that is sure; notes the dump.

        Args:
            number: the frame's, for those that come later.
            dump: all octets that the driver printed.
            span: those of them that are the frame.
            inside: whether the dump begins in the middle of a buffer.
            proven, failing: octets of the frame that sums vouch for, or that sums convict.
            truth: the sent octet for each octet of the frame, None where it is not known.
        """
        head, stop = span
        octets = dump[head:stop]
        if self._fill is None and truth and not inside:
            self._recognise(octets, head, truth)
        found = list(self._of_the_fill(octets, head, inside, proven, failing, truth))
        if self._fill is not None and truth:
            # What the fill explains says nothing of a ring.
            old = self._fill.octets(head, stop)
            spared = [None if o == f else t for o, f, t in zip(octets, old, truth, strict=False)]
        else:
            spared = list(truth)
        # A second frame of one dump is not in another buffer.
        if not inside and dump is not self._seen:
            self._seen = dump
            self._ring.weigh(dump, [None] * head + spared)
            found += self._of_a_frame(octets, head, proven, truth, [o.span for o in found])
            self._ring.note(number, dump, _right(dump, head, truth, found))
        return tuple(sorted(found))

    def _recognise(self, octets: bytes, head: int, truth: Sequence[int | None]) -> None:
        """Whether the octets that were not sent so are those of a sequence that is in use."""
        wrong = _differing(octets, truth)
        for guess in self._guesses if wrong else ():
            old = guess.octets(head, head + len(octets))
            hits = sum(old[i] == octets[i] for i in wrong)
            self._guesses[guess] += max(_LEAST, _HELD * hits + _OTHER * (len(wrong) - hits))
            if self._guesses[guess] >= _NAMED:
                self._fill = guess

    def _of_the_fill(
        self,
        octets: bytes,
        head: int,
        inside: bool,
        proven: Sequence[Range],
        failing: Sequence[Range],
        truth: Sequence[int | None],
    ) -> Sequence[Old]:
        if self._fill is None:
            return ()
        reading = claim(octets, self._fill, head, proven=proven, failing=failing, truth=truth)
        held = self._fill.octets(head, head + len(octets))
        if not inside and (ranges := _holding(reading.sure, octets, held)):
            edges = _certainties(reading)
            return [_old(r, reading, "fill", edges) for r in ranges]
        start = self._start(octets, proven, failing, truth)
        if start is None or (not inside and start == head % len(self._fill.pattern)):
            return ()
        reading = claim(octets, self._fill, start, proven=proven, failing=failing, truth=truth)
        at = (start - head) % len(self._fill.pattern)
        edges = _certainties(reading)
        held = self._fill.octets(start, start + len(octets))
        ranges = _holding(reading.sure, octets, held)
        return [_old(r, reading, "fill", edges, starts=at) for r in ranges]

    def _start(
        self,
        octets: bytes,
        proven: Sequence[Range],
        failing: Sequence[Range],
        truth: Sequence[int | None],
    ) -> int | None:
        """Where in its pattern a fill stands at the frame's first octet, if its octets say so.

        Payloads count as well: of a fill that counts through all values, only octets where another
        was sent tell; letters in their order also where a sum fails.
        """
        assert self._fill is not None
        counts = _in_order(self._fill.pattern)
        wrong = runs(_differing(octets, truth))
        if counts and not wrong and self._fill.pattern == _ALL:
            return None
        written = _blanked(octets, proven)
        seen = phase(written, self._fill)
        if seen is None:
            return None
        start, bits = seen
        old = self._fill.octets(start, start + len(octets))
        hit = runs(i for i, (a, b) in enumerate(zip(written, old, strict=True)) if a == b)
        if common(wrong, hit) or (not counts and common(failing, hit)):
            return start if bits >= _TROUBLE else None
        doubted = not counts or common(failing, hit)
        return start if doubted and bits >= _BEYOND_DOUBT else None

    def _of_a_frame(
        self,
        octets: bytes,
        head: int,
        proven: Sequence[Range],
        truth: Sequence[int | None],
        known: Sequence[Range],
    ) -> Sequence[Old]:
        """Octets that an earlier frame left; only where what was sent is known to be other."""
        earlier = self._ring.before(head + len(octets))
        if earlier is None or not _differing(octets, truth):
            return ()
        reading = read(octets, earlier[head:], proven=(*proven, *known), truth=truth)
        found: list[Old] = []
        edges = _certainties(reading)
        right = self._ring.right(head + len(octets))[head:]
        differing = _differing(octets, truth)
        wrong = foreign(octets, truth, differing)
        for a, b in without(_holding(reading.ranges(), octets, earlier[head:]), known):
            here = [i for i in wrong if a <= i < b]
            borne = [i for i in here if right[i] and octets[i] == earlier[head + i]]
            if here and 2 * len(borne) >= len(here):
                # Where old and new are alike at an edge, nothing says that they are old.
                found += [
                    _old(r, reading, "frame before", edges, left=left)
                    for r, left in self._by_source([i for i in differing if a <= i < b], head)
                ]
        if len(found) > _ISLANDS and sum(o.stop - o.start for o in found) < _SHORT * len(found):
            # So many words in between may be another writer's: nothing says how buffers turn.
            found = [o._replace(buffers=None) for o in found]
        return found

    def _by_source(self, old: Sequence[int], head: int) -> Iterator[tuple[Range, Left]]:
        """From the first to the last, the parts that different dumps left: a short one covers but
        the front."""
        every = range(old[0], old[-1] + 1)
        for left, part in groupby(every, lambda i: self._ring.source(head + i)):
            octets = list(part)
            yield (octets[0], octets[-1] + 1), left


def _holding(ranges: Sequence[Range], octets: bytes, old: bytes) -> tuple[Range, ...]:
    """The ranges without octets that are not the old ones, where there are more than a few."""
    kept: list[Range] = []
    for a, b in ranges:
        same = [i for i in range(a, b) if i < len(old) and octets[i] == old[i]]
        few = (b - a - len(same)) * _SPOILT <= b - a
        kept += [(a, b)] if few else runs(same)
    return tuple(kept)


def _right(dump: bytes, head: int, truth: Sequence[int | None], found: Sequence[Old]) -> bytes:
    """1 for the octets of a dump that are as sent, or that are known to be old."""
    right = bytearray(len(dump))
    for i, sent in enumerate(truth):
        right[head + i] = sent == dump[head + i]
    for o in found:
        right[head + o.start : head + o.stop] = b"\1" * (o.stop - o.start)
    return bytes(right)


def _differing(octets: bytes, truth: Sequence[int | None]) -> list[int]:
    """The octets that are known to be other than what was sent."""
    return [i for i, (o, t) in enumerate(zip(octets, truth, strict=False)) if t not in (None, o)]


_Certainties = dict[tuple[int, bool], float]


def _certainties(reading: Reading) -> _Certainties:
    """How certain each edge is, by its place and whether unwritten octets begin there."""
    return {(e.at, e.begins): e.certainty for e in reading.edges}


def _old(
    r: Range,
    reading: Reading,
    holds: str,
    edges: _Certainties,
    *,
    starts: int = 0,
    left: Left = _NOT_KNOWN,
) -> Old:
    likely = reading.unwritten[slice(*r)]
    begins, ends = edges.get((r[0], True), likely[0]), edges.get((r[1], False), likely[-1])
    return Old(r[0], r[1], holds, starts, *left, likely, begins, ends)


def _in_order(pattern: bytes) -> bool:
    """Whether a pattern goes up by one from octet to octet, as payloads do."""
    return all((b - a) % 256 == 1 for a, b in pairwise(pattern))


def _blanked(octets: bytes, proven: Sequence[Range]) -> bytes:
    """The octets with zeros where they are known to have been written."""
    out = bytearray(octets)
    for a, b in proven:
        out[a:b] = bytes(max(0, min(b, len(out)) - a))
    return bytes(out)
