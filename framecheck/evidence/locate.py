"""Where in a long capture a log begins: a capture is often started long before the board is.

Short pieces of the first received frames, wherever they stand and whatever way they are turned,
are looked for at a few places of every sent frame. Where most of them stand close together, there
the log begins. Pieces that many sent frames hold say nothing.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from framecheck.evidence._turned import turned

_PIECE = 10
_PLACES = (16, 26, 34, 44, 64)
"""Where pieces of sent frames are taken: lengths and identifications, ports, sums, contents."""
_FRONT = 96
"""Octets of a received frame in which its pieces are looked for."""
_FEWEST_VALUES = 4
"""Values that a piece must have to tell anything."""
_RARE = (1, 4, 16, 64)
"""Sent frames that may hold a piece: what few hold is believed first."""
_SHARE = 0.25
"""Share of the received frames that must be found close together by pieces so rare."""
_FEWEST = 2
"""Received frames that must be found to begin anywhere else than at the front."""
_BEFORE = 16
"""Frames in front of the first one found that may be of the log as well."""


def begins(received: Sequence[bytes], sent: Iterable[bytes], window: int = 256) -> int:
    """The number of the sent frame, from 0, at which a log of these frames begins.

    ``received``: its first frames, damaged or not; ``window``: sent frames among which the others
    stand. 0 where nothing tells. Reads ``sent`` as far as need be; memory: a few places a piece.
    """
    pieces = _pieces(received)
    hits: Counter[bytes] = Counter()
    seen: list[tuple[int, bytes]] = []
    front = set(received)
    for number, octets in enumerate(sent):
        if number < window:
            front.discard(octets)
            if 2 * len(front) < len(set(received)):
                return 0  # most of them are here as they were sent
        for at in _PLACES:
            piece = octets[at : at + _PIECE]
            if piece in pieces:
                hits[piece] += 1
                if hits[piece] <= _RARE[-1]:
                    seen.append((number, piece))
    for rare in _RARE:
        kept = [(n, r) for n, piece in seen if hits[piece] <= rare for r in pieces[piece]]
        found, begin = _densest(kept, max(window, 2 * len(received)))
        if found >= max(_FEWEST, _SHARE * len(received)):
            return begin
    return 0


def _pieces(received: Sequence[bytes]) -> dict[bytes, list[int]]:
    """Pieces of the received frames, as they stand and turned back, and whose they are."""
    found: dict[bytes, list[int]] = {}
    for number, octets in enumerate(received):
        for piece in set(_of_one(octets[:_FRONT])):
            found.setdefault(piece, []).append(number)
    return found


def _of_one(front: bytes) -> Iterator[bytes]:
    for octets in (front, *turned(front)):
        for at in range(len(octets) - _PIECE + 1):
            piece = octets[at : at + _PIECE]
            if len(set(piece)) >= _FEWEST_VALUES:
                yield piece


def _densest(kept: Sequence[tuple[int, int]], width: int) -> tuple[int, int]:
    """How many received frames are found close together at most, and where the log begins then.

    ``kept``: numbers of sent frames, ascending, and of received ones.
    """
    counts: Counter[int] = Counter()
    best, begin, first = 0, 0, 0
    for number, r in kept:
        counts[r] += 1
        while kept[first][0] <= number - width:
            out = kept[first][1]
            counts[out] -= 1
            if not counts[out]:
                del counts[out]
            first += 1
        if len(counts) > best:
            best = len(counts)
            begin = max(0, kept[first][0] - kept[first][1] - _BEFORE)
    return best, begin
