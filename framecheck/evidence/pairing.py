"""Which of the sent frames a received one is: by order and content."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Sequence
from operator import eq

from framecheck.core.span import Range
from framecheck.damage import Fill
from framecheck.evidence.compare import padded

WINDOW = 256
"""Sent frames that are looked at for one received frame, from the first not yet passed by."""
BEHIND = 32
"""Sent frames before the last pair that stay in reach: frames may overtake each other."""
_ALIKE = 0.5
"""Share of comparable octets (or of pieces of four) that must agree before two are a pair."""
_FEWEST = 14
"""Octets that must agree: a header's worth."""


class Pairing:
    """Hands out, for received frames in their order, the sent frame that each of them is.

    Each sent frame is given once. Memory: the window's frames, however long the capture.
    """

    def __init__(self, sent: Iterator[bytes], fill: Fill | None = None) -> None:
        self._sent = sent
        self._fill = fill
        self._window: deque[bytes] = deque()
        self._done = False
        self.pairs = 0

    def of(self, received: bytes, proven: Sequence[Range] = ()) -> bytes | None:
        """What was sent where ``received`` came, or None when nothing in reach is like it.

        ``proven``: octets that a matching sum covers. They arrived as they were sent, so a
        frame that differs there is another frame, however alike the two are elsewhere.
        """
        self._load()
        at = self._exact(received)
        if at is None:
            at = self._alike(received, proven)
        if at is None:
            return None
        found = self._window[at]
        del self._window[at]
        for _ in range(at - BEHIND):
            self._window.popleft()
        self.pairs += 1
        return found

    def _load(self) -> None:
        while not self._done and len(self._window) < WINDOW:
            octets = next(self._sent, None)
            if octets is None:
                self._done = True
            else:
                self._window.append(octets)

    def _exact(self, received: bytes) -> int | None:
        for i, sent in enumerate(self._window):
            if sent == received or (
                len(sent) < len(received) and padded(sent, len(received)) == received
            ):
                return i
        return None

    def _alike(self, received: bytes, proven: Sequence[Range]) -> int | None:
        open_ = [
            i
            for i, sent in enumerate(self._window)
            if all(sent[a:b] == received[a:b] for a, b in proven)
        ]
        scores = {i: self._in_place(received, self._window[i]) for i in open_}
        if max(scores.values(), default=0.0) < _ALIKE:
            pieces = _pieces(received)
            scores = {i: _shared(pieces, self._window[i]) for i in open_}
        best = max(open_, key=lambda i: (scores[i], -i), default=None)
        return best if best is not None and scores[best] >= _ALIKE else None

    def _in_place(self, received: bytes, sent: bytes) -> float:
        """Share of agreeing octets among those that the transfer wrote, as far as is known."""
        sent = padded(sent, len(received))
        size = min(len(received), len(sent))
        agree = sum(map(eq, received, sent))
        if self._fill is not None and agree < size:
            unwritten = self._fill.octets(0, size)
            written = size - sum(
                a == f != s for a, f, s in zip(received, unwritten, sent, strict=False)
            )
        else:
            written = size
        longer = max(len(received), len(sent))
        # What one of them lacks counts against the pair, but less than what contradicts it.
        return agree / (written + (longer - size) / 4) if agree >= min(_FEWEST, size) else 0.0


def _pieces(octets: bytes) -> set[bytes]:
    return {octets[i : i + 4] for i in range(len(octets) - 3)} - {b"\0\0\0\0"}


def _shared(pieces: set[bytes], sent: bytes) -> float:
    """Share of the pieces of four octets that both hold, wherever they stand."""
    others = _pieces(sent)
    smaller = min(len(pieces), len(others))
    return len(pieces & others) / smaller if smaller >= _FEWEST else 0.0
