"""Which of the sent frames a received one is: by its octets, its length and its turn.

Equal frames are found at once, wherever they are in reach. For any other the octets are weighed in
bits: an octet that only one sent frame holds there (an identification, a sequence number) tells
much, one that all of them hold tells nothing, and one that others hold but the candidate does not
speaks against it. The next frame in turn needs the least. Frames whose octets moved are known by
pieces that both hold, frames that were turned over (octets, halves or bits) by turning them back.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import repeat
from math import log2

from framecheck.core.span import Range
from framecheck.damage import Fill
from framecheck.evidence._likeness import Likeness, best_in_place, best_pieces, share
from framecheck.evidence._put_back import PutBack, put_back
from framecheck.evidence._turned import WAYS, turned
from framecheck.evidence.compare import SHORTEST

WINDOW = 256
"""Sent frames ahead of the last pair that a damaged frame is held against."""
BEHIND = 64
"""Sent frames before the last pair that stay in reach: frames may overtake each other."""
KEPT = 8192
"""Sent frames that are looked through for an equal one, when nothing near is like a frame."""
_FAR = 32
"""Frames ahead from which on an equal frame that came already is the better answer."""
_CLEAR = 0.75
"""Share of equal octets from which on a frame stands as it was sent."""
_HALF = 0.45
"""Share that a turned frame must reach to be weighed, and a moved one not to be."""
_DOUBTED, _BETTER = 0.55, 0.2
"""Share below which octets may have been lost or put in, and how much more must be right then."""
_LONG = 28
"""Octets that a frame must have to be known by being a part of another."""
_ENDS = 32
"""Octets that may be missing, or too many, at the ends of a frame that is whole otherwise."""
_NONE = Likeness(0.0, 0.0, None)
_AGAIN = 4.0
"""Bits that speak against a frame that came already."""
_NEAREST = 16
"""Sent frames that a turned frame is held against."""


class Pairing:
    """Hands out, for received frames in their order, the sent frame that each of them is.

    A sent frame is given again only to what looks like the same frame come doubled. Memory:
    ``KEPT`` frames at most, however long the capture.
    """

    def __init__(self, sent: Iterator[bytes], fill: Fill | None = None) -> None:
        self._sent = sent
        self._fill = fill
        self._frames: dict[int, bytes] = {}
        """Kept sent frames by their number."""
        self._places: dict[bytes, list[int]] = {}
        """Numbers of kept frames by what the wire carried."""
        self._used: set[int] = set()
        self._first = self._loaded = self._next = 0
        self._done = False
        self._way = 0
        self.pairs = 0

    def of(self, received: bytes, proven: Sequence[Range] = ()) -> bytes | None:
        """What was sent where ``received`` came, or None when nothing in reach is like it.

        ``proven``: octets that a matching sum covers. They arrived as they were sent, if moved
        perhaps, so a frame that does not hold them is another, however alike the two are.
        """
        self._load(self._next + WINDOW)
        at = self._equal(received)
        if not self.pairs:
            at = self._further(received) if at is None else at  # the log may begin anywhere
        if at is None:
            at = self._alike(received, proven)
        if at is None:
            at = self._further(received)
        if at is None:
            return None
        found = self._frames[at]
        if at not in self._used:
            self._used.add(at)
            self._next = at + 1
            self._forget(at - BEHIND)
        self.pairs += 1
        return found

    def _further(self, received: bytes) -> int | None:
        """An equal frame that is not near."""
        at = None
        while at is None and not self._done and self._loaded - self._first < KEPT:
            self._load(self._loaded + WINDOW)
            at = self._equal(received)
        return at

    def _load(self, stop: int) -> None:
        while not self._done and self._loaded < stop:
            octets = next(self._sent, None)
            if octets is None:
                self._done = True
                return
            self._frames[self._loaded] = octets
            self._places.setdefault(_carried(octets), []).append(self._loaded)
            self._loaded += 1

    def _forget(self, stop: int) -> None:
        while self._first < stop:
            key = _carried(self._frames.pop(self._first))
            self._places[key].remove(self._first)
            if not self._places[key]:
                del self._places[key]
            self._used.discard(self._first)
            self._first += 1

    def _equal(self, received: bytes) -> int | None:
        """The equal frame that is next in turn, or one that came before and comes again."""
        places = self._places.get(_carried(received), ())
        fresh = [i for i in places if i not in self._used]
        again = [i for i in places if i in self._used]
        ahead = [i for i in fresh if i >= self._next]
        if again and (not ahead or ahead[0] > self._next + _FAR):
            return fresh[-1] if fresh and not ahead else again[-1]
        return next(iter(ahead or fresh), None)

    def _alike(self, received: bytes, proven: Sequence[Range]) -> int | None:
        near = range(max(self._first, self._next - BEHIND), min(self._loaded, self._next + WINDOW))
        open_ = {
            i: self._frames[i]
            for i in near
            if all(received[a:b] in _carried(self._frames[i]) for a, b in proven)
        }
        if not open_ or not received:
            return None
        unwritten = self._fill.octets(0, len(received)) if self._fill is not None else None
        turn = {i: self._turn(i) for i in open_}
        whole = self._whole(received, open_, turn, bool(proven))
        if whole is not None:
            return whole
        found = best_in_place(received, open_, turn, unwritten) or _NONE
        if found.share < _CLEAR:
            moved = best_pieces(received, open_, turn) or _NONE
            if moved.share >= _HALF:
                return moved.at
            if not proven:
                found = max(found, self._turned_back(received, open_, turn))
            found = moved if found.at is None else found
            if not proven and found.share < _DOUBTED:
                back = self._put_back(received, open_, turn)
                found = back if back.share >= found.share + _BETTER else found
        return found.at

    def _whole(
        self, received: bytes, open_: dict[int, bytes], turn: dict[int, float], proven: bool
    ) -> int | None:
        """The frame, nearest in turn, that is here whole: turned over, or but for one of its ends.

        Frames of one exchange are much alike; what explains every octet goes before likeness.
        """
        nearest = sorted(open_, key=lambda i: (-turn[i], i))
        if len(received) >= _LONG:
            for i in nearest:
                carried = _carried(open_[i])
                longer, shorter = sorted((received, carried), key=len, reverse=True)
                if len(longer) - len(shorter) <= _ENDS and shorter in longer:
                    return i
        if proven:
            return None  # a sum that holds speaks against a turned frame
        ways = list(enumerate(turned(received)))
        ways.insert(0, ways.pop(self._way))
        for way, octets in ways:
            at = next((i for i in nearest if _carried(open_[i]) == octets), None)
            if at is not None:
                self._way = way
                return at
        return None

    def _turn(self, number: int) -> float:
        """Bits that speak against a frame for being out of turn, or for having come already."""
        ahead = number - self._next
        bits = -log2(1 + ahead) if ahead >= 0 else -3.0 - log2(-ahead)
        return bits - _AGAIN if number in self._used else bits

    def _turned_back(
        self, received: bytes, open_: dict[int, bytes], turn: dict[int, float]
    ) -> Likeness:
        """The frame that this one is when its octets or bits are turned back."""
        long = len(received)
        same = [i for i, octets in open_.items() if abs(max(len(octets), SHORTEST) - long) <= 4]
        some = {i: open_[i] for i in sorted(same, key=lambda i: (-turn[i], i))[:_NEAREST]}
        if not some:
            return _NONE
        ways = list(enumerate(zip(turned(received), self._turned_fill(long), strict=True)))
        ways.insert(0, ways.pop(self._way))  # a board turns all frames alike
        best = _NONE
        for way, (octets, unwritten) in ways:
            if max(share(octets, sent, unwritten) for sent in some.values()) < _HALF:
                continue
            found = best_in_place(octets, some, turn, unwritten) or _NONE
            if found > best:
                best, self._way = found, way
            if found.share >= _CLEAR:
                break
        return best

    def _put_back(
        self, received: bytes, open_: dict[int, bytes], turn: dict[int, float]
    ) -> Likeness:
        """The frame that this one is when its octets are put back to where they were sent."""
        best = _NONE
        done: set[PutBack] = set()
        for i in sorted(open_, key=lambda i: (-turn[i], i))[:_NEAREST]:
            for way in put_back(received, _carried(open_[i])):
                if way in done:
                    continue
                done.add(way)
                unknown = bytes(0 if k else 255 for k in way.known)
                silent = bytes(o ^ 255 ^ u for o, u in zip(way.octets, unknown, strict=True))
                if share(way.octets, open_[i], silent) < _HALF:
                    continue
                found = best_in_place(way.octets, open_, turn, silent) or _NONE
                best = max(best, found)
        return best

    def _turned_fill(self, size: int) -> Iterator[bytes | None]:
        """What was in the buffer before, turned in the same ways."""
        if self._fill is None:
            return repeat(None, WAYS)
        return turned(self._fill.octets(0, size))


def _carried(octets: bytes) -> bytes:
    """As it is on the wire: a sender's copy, and a driver, may leave the padding out."""
    return octets.ljust(SHORTEST, b"\0")
