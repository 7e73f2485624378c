"""Two dumps close together that may be one: the octets of a frame go on behind what broke it."""

from __future__ import annotations

from typing import NamedTuple

from framecheck.core.frame import Doubt
from framecheck.reading._finish import Finished
from framecheck.reading._track import STRONG, Content, Track

NEAR = 6
"""Lines between the parts of a frame: a message of another task is not longer."""
_FEW = 2


class Parted(NamedTuple):
    """What is said of two dumps that may be parts of one frame."""

    before: Doubt
    behind: Doubt


def unfinished(done: Finished) -> bool:
    """Whether a frame's end may still follow, as far as its own lengths say."""
    if done.dump is None or done.dump.at_edge:
        return False
    return not done.track.complete


def last_line(track: Track) -> int:
    """The last line of the log that belongs to a dump."""
    pieces = track.lines[-1].pieces
    return pieces[-1].number if pieces else track.rows[-1].line


def parted(held: Finished, new: Finished, content: Content | None) -> Parted | None:
    """What two dumps say of each other when the second one may be the rest of the first."""
    first, second = held.track, new.track
    end, start = last_line(first), second.rows[0].line
    if not 0 <= start - end <= NEAR or not _alike(first, second, new.dump is None):
        return None
    if second.facts.claimed and second.claimed != first.claimed:
        return None
    if second.shape.offset:
        if not second.first_value:
            return None
    elif content is None or content(second.octets) >= STRONG:
        return None
    return Parted(
        Doubt(
            "where the dump ends",
            "before this line",
            "further on: octets in the same layout stand there",
            True,
            start,
        ),
        Doubt(
            "where the dump starts",
            "at its first line",
            "further up: a frame that is not whole stands there in the same layout",
            True,
            start,
        ),
    )


def _alike(first: Track, second: Track, chatter: bool) -> bool:
    """Whether the cells of two dumps look the same."""
    a, b = first.shape, second.shape
    if a.offset != b.offset or second.block or first.block:
        return False
    if chatter and (second.behind or second.total < _FEW or a.lead_pattern != b.lead_pattern):
        return False
    marks, others = set(a.gaps), set(b.gaps)
    if not marks or not others:
        # One group alone: packed rows, or the last octets of a row.
        return not marks or b.group == a.group
    return b.group in (a.group, 1) and bool(marks & others)
