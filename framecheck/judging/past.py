"""The past of one input: what its frames so far left behind for the rules about the next one."""

from __future__ import annotations

from typing import TypeVar, cast

from framecheck.core.frame import Doubt
from framecheck.core.shelf import shelf
from framecheck.core.view import View
from framecheck.judging._memory import Keeper, Subject

SUBJECTS = "framecheck.judging.memory"
T = TypeVar("T")


class Past:
    """Fed frame by frame in the order of the input; the same frames leave the same past.

    Memory is bounded: each subject says what it keeps at the most.
    """

    def __init__(self) -> None:
        self._first: tuple[int, View] | None = None
        self._kept: dict[type, Keeper] = {}

    @property
    def so_far(self) -> Past | None:
        """What a view of the next frame gets: None before the first frame."""
        if self._first is not None:
            # Nothing is loaded for a log of one frame.
            made = [subject.start() for subject in shelf(SUBJECTS, Subject)]
            self._kept = {type(keeper): keeper for keeper in made}
            (number, view), self._first = self._first, None
            self._note(number, view)
        return self if self._kept else None

    def note(self, number: int, view: View) -> None:
        """Take in a frame that was judged, once. ``number``: its number in the input."""
        if self._first is None and not self._kept:
            self._first = number, view
        elif self.so_far is not None:
            self._note(number, view)

    def of(self, subject: type[T]) -> T:
        """What is kept of one subject. KeyError for what is no subject."""
        return cast(T, self._kept[subject])

    def doubts(self) -> tuple[Doubt, ...]:
        """What is open when the input is through: fragments that never became whole."""
        if self._first is not None:
            layers = self._first[1].layers
            if all(x.kind not in ("ipv4", "ipv6") for x in layers):
                return ()
        kept = self.so_far
        return () if kept is None else tuple(d for k in kept._kept.values() for d in k.doubts())

    def _note(self, number: int, view: View) -> None:
        for keeper in self._kept.values():
            keeper.note(number, view)
