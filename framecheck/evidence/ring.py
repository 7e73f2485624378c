"""Buffers that take frames by turns: how many there are, and what each of them held."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from typing import NamedTuple

MOST = 16
"""Buffers that are thought of at most."""
CERTAIN = 10.0
"""Bits from which a number of buffers is believed: odds of 1000 to 1."""
_HELD, _OTHER = 7.8, -3.3
"""Bits of a wrong octet that the buffer held before, and of one that it did not."""
_PLAIN = (0x00, 0xFF)
"""Values that buffers, frames and cleared memory are full of: that one was held says nothing."""
_LEAST, _MOST = -4.0, 60.0
"""Bits of one frame: it may be damaged in another way, and says no more than so much."""
_ROUNDS = 4
"""Turns of the fullest ring whose frames are remembered by number."""


class Left(NamedTuple):
    """Where old octets come from, as far as it is known."""

    buffers: int | None = None
    """How many buffers take turns."""
    back: int | None = None
    """How many dumps before."""
    frame: int | None = None
    """That dump's number."""


def foreign(octets: bytes, truth: Sequence[int | None], wrong: Sequence[int]) -> list[int]:
    """Those of the wrong octets that are no part of what was sent in this very frame.

    Frames of one exchange are alike: what moved inside a frame, or came twice, often stands at the
    same place of an earlier one. With both neighbours it is looked for in what was sent.
    """
    sent = bytes(t or 0 for t in truth)
    return [i for i in wrong if octets[max(0, i - 1) : i + 2] not in sent]


class Ring:
    """What the buffers of a ring held before each frame, and how many of them there are.

    For each dump of a board, in their order: ``weigh`` what is known of it, ask, ``note`` it. For
    each number of buffers it is weighed, in bits, how well what each buffer held last explains the
    octets that were not sent so. What a buffer held is what was read from it, not what was sent.
    """

    def __init__(self) -> None:
        self._last: deque[tuple[int, bytes, bytes]] = deque(maxlen=MOST * _ROUNDS)
        """Numbers of the dumps, their octets, and 1 for those that were right, the newest first."""
        self.bits = [0.0] * MOST
        """Evidence for 1, 2, ... buffers."""

    @property
    def buffers(self) -> int | None:
        """How many buffers there are, when ten bits say so; the fewest that explain as much."""
        best = max(self.bits)
        return self.bits.index(best) + 1 if best >= CERTAIN else None

    @property
    def margin(self) -> float:
        """Bits between the best number and the next."""
        ranked = sorted(self.bits)
        return ranked[-1] - ranked[-2]

    def before(self, size: int) -> bytes | None:
        """What the buffer of the next frame holds at its first ``size`` octets, as far as known."""
        count = self.buffers
        if count is None:
            return None
        return self._held(count, size)[0]

    def right(self, size: int) -> bytes:
        """1 for each of those octets that was right when it was read."""
        return self._held(self.buffers or 1, size)[1]

    def _held(self, count: int, size: int) -> tuple[bytes, bytes]:
        """What one of so many buffers holds: the dumps of its turns, the newest on top."""
        held = right = b""
        for back in range(count, len(self._last) + 1, count):
            if len(held) >= size:
                break
            _, octets, good = self._last[back - 1]
            right += good[len(held) : size]
            held += octets[len(held) : size]
        return held, right

    def source(self, at: int) -> Left:
        """Which dump left the next frame's old octet ``at``.

        Nothing while another number of buffers is nearly as likely.
        """
        count = self.buffers
        if count is None or self.margin < CERTAIN:
            return Left()
        for back in range(count, len(self._last) + 1, count):
            number, octets, _ = self._last[back - 1]
            if len(octets) > at:
                return Left(count, back, number)
        return Left(count)

    def weigh(self, octets: bytes, truth: Sequence[int | None]) -> None:
        """What a dump says of the number of buffers, by what was sent for each of its octets.

        Only octets that were right when they were read say anything: where all frames are changed
        in one way, frames that are alike are wrong alike. Nor do octets that are the frame's own.
        """
        wrong = [
            i for i, (o, t) in enumerate(zip(octets, truth, strict=False)) if t not in (None, o)
        ]
        wrong = foreign(octets, truth, wrong)
        if not wrong:
            return
        for k in range(MOST):
            held, right = self._held(k + 1, wrong[-1] + 1)
            bits = 0.0
            for i in wrong:
                if i < len(held) and right[i]:
                    hit = 0.0 if octets[i] in _PLAIN else _HELD
                    bits += hit if held[i] == octets[i] else _OTHER
            self.bits[k] += min(_MOST, max(_LEAST, bits))

    def note(self, number: int, octets: bytes, right: bytes) -> None:
        """Remember what was read of the dump that was weighed; 1 in ``right``: it was as sent."""
        self._last.appendleft((number, octets, right))
