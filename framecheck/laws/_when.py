"""When a law holds: for some lengths, from one frame on, in one buffer of several, or at random."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

When = Mapping[str, Any]
"""What the sheet's ``when`` holds; every key narrows it.

``above``, ``up_to``: lengths, as [longest without, shortest with] and [longest with, shortest
without] the law; ``from_frame``, ``until_frame``: the same for numbers of frames; ``n`` and ``r``:
remainders of the length; ``every`` and ``turns``: of so many frames in turn these, counted from 1;
``share``: in so many of all frames, by no rule that shows.
"""


def of_length(when: When, length: int) -> bool:
    """Whether a frame of this length is met, as far as the length decides."""
    if "above" in when and length < when["above"][1]:
        return False
    if "up_to" in when and length > when["up_to"][0]:
        return False
    return "n" not in when or length % when["n"] in when["r"]


def of_place(when: When, number: int, turn: int) -> bool:
    """Whether the frame of this number, the ``turn``-th that was received, is met."""
    if "from_frame" in when and number < when["from_frame"][1]:
        return False
    if "until_frame" in when and number > when["until_frame"][0]:
        return False
    every = when.get("every")
    return every is None or (turn - 1) % every + 1 in when["turns"]


def condition(when: When) -> str:
    """A condition in words: ``in frames of 309 octets or more (none of 255 or less)``."""
    said = []
    if "above" in when or "up_to" in when:
        said.append(_bounds(when.get("above"), when.get("up_to"), "frames of", "octets"))
    if "n" in when:
        rest = ", ".join(str(r) for r in when["r"])
        said.append(f"in frames whose length mod {when['n']} is {rest}")
    if "from_frame" in when or "until_frame" in when:
        low, high = when.get("from_frame"), when.get("until_frame")
        said.append(_since(low, high))
    if "every" in when:
        turns = ", ".join(str(t) for t in when["turns"])
        said.append(f"in number {turns} of every {when['every']} frames received")
    if "share" in when:
        share = round(100 * when["share"])
        said.append(f"in some frames, about {share} of 100, by no rule that shows")
    return ", ".join(said)


def _bounds(low: list[int] | None, high: list[int] | None, what: str, unit: str) -> str:
    if low and high:
        return (
            f"in {what} {low[1]} to {high[0]} {unit} (not of {low[0]} or less, {high[1]} or more)"
        )
    if low:
        return f"in {what} {low[1]} {unit} or more (not of {low[0]} or less)"
    assert high is not None
    return f"in {what} {high[0]} {unit} or less (not of {high[1]} or more)"


def _since(low: list[int] | None, high: list[int] | None) -> str:
    if low and high:
        return f"from frame {low[1]} to frame {high[0]} (not in {low[0]} and {high[1]})"
    if low:
        return f"from frame {low[1]} on (not up to {low[0]})"
    assert high is not None
    return f"up to frame {high[0]} (not from {high[1]} on)"
