"""What a shape is: a name, and how well octets in front of a frame fit it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal, NamedTuple

Order = Literal["little", "big"]


class Shape(NamedTuple):
    """Octets that a device leaves in front of a frame."""

    name: str
    fits: Callable[[bytes, int], float]
    """(octets in front, octets from the frame's first to the dump's last) -> bits of evidence
    that the former have this shape; 0 or less: they do not."""


def counts(value: int, front: int, rest: int) -> bool:
    """Whether a length word counts the rest, with or without FCS and the octets in front.

    ``rest`` may itself hold an FCS and up to three octets of rounding behind what is counted.
    """
    return any(
        rest - rounding + other in (value, value + 4, value - 4)
        for rounding in range(4)
        for other in (0, front)
    )


def word(octets: bytes, at: int, order: Order, size: int = 2) -> int:
    """The word of ``size`` octets at ``at``."""
    return int.from_bytes(octets[at : at + size], order)


def length_word(
    size: int, at: int, order: Order, also: Callable[[bytes], bool] = lambda _: True
) -> Callable[[bytes, int], float]:
    """A shape of ``size`` octets whose word at ``at`` counts the frame; ``also``: what else."""

    def fits(front: bytes, rest: int) -> float:
        right = len(front) == size and counts(word(front, at, order), size, rest) and also(front)
        # A random word is one of some two dozen such lengths once in 2,700 times.
        return 11.0 if right else 0.0

    return fits
