"""What the subjects of the memory share: how one is declared, and how a bound is held."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple, Protocol, TypeVar

from framecheck.core.frame import Doubt
from framecheck.core.view import View

K = TypeVar("K")
V = TypeVar("V")


class Keeper(Protocol):
    """What is kept of one subject, for one input."""

    def note(self, number: int, view: View) -> None:
        """Take a judged frame in. Frames come in the order of the input, each once."""

    def doubts(self) -> tuple[Doubt, ...]:
        """What is open when the input is through."""


class Subject(NamedTuple):
    """One subject that is kept from frame to frame."""

    what: str
    """What is kept and how much of it at the most, in one sentence."""
    start: Callable[[], Keeper]
    """What is kept before the first frame."""


def put(kept: dict[K, V], key: K, value: V, most: int) -> None:
    """Set a key as the newest; the oldest is forgotten where there are more than ``most``."""
    kept.pop(key, None)
    kept[key] = value
    if len(kept) > most:
        del kept[next(iter(kept))]
