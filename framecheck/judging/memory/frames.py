"""The frames themselves: for one that is printed twice, and padding that an earlier one left."""

from __future__ import annotations

from framecheck.core.frame import Doubt
from framecheck.core.view import View
from framecheck.judging._memory import Subject, put

MOST_FRAMES = 64
MOST_OCTETS = 2048
"""Of each frame; what stands deeper is not kept."""


class Frames:
    """The newest frames and the first octets of each."""

    def __init__(self) -> None:
        self._kept: dict[bytes, int] = {}

    def number_of(self, octets: bytes) -> int | None:
        """The number of the newest earlier frame with these octets, None when there is none."""
        return self._kept.get(octets)

    def same_at(self, start: int, octets: bytes) -> int | None:
        """The newest earlier frame that holds these octets at this place; None when none does."""
        stop = start + len(octets)
        return next(
            (number for o, number in reversed(self._kept.items()) if o[start:stop] == octets), None
        )

    def note(self, number: int, view: View) -> None:
        """Keep a frame; one that comes again is the newest."""
        put(self._kept, view.octets[:MOST_OCTETS], number, MOST_FRAMES)

    def doubts(self) -> tuple[Doubt, ...]:
        """Nothing is ever open here."""
        return ()


FRAMES = Subject(f"the newest {MOST_FRAMES} frames, {MOST_OCTETS} octets of each", Frames)
