"""What only another dump of the log tells of one that is printed on one line.

A blank behind the last octet may be the printer's, or all that is left of the octets that the
console lost; words in front of the first may be a title on the same line, or one whose end is lost
with octets. Such a dump waits for the next one like it.
"""

from __future__ import annotations

from framecheck.core.frame import Doubt
from framecheck.reading._finish import Finished
from framecheck.reading._irregular import better_behind_more, short_end
from framecheck.reading._track import Track
from framecheck.reading._wanted import wanted

_LETTERS = 3
"""Letters in front of octets that may be a title's."""


def may_go_on(done: Finished) -> bool:
    """Whether a frame of one line lacks octets where a blank or a title's words stand."""
    track, dump = done.track, done.dump
    if dump is None or track.usual_end is not None or dump.at_edge or track.shape.offset:
        return False
    own = wanted(dump.octets)
    lacks = own is not None and own > track.total and bool(short_end(track))
    titled = sum(c.isalpha() for c in track.shape.lead) >= _LETTERS
    if not (lacks or titled) or any(d.decides for d in dump.doubts):
        return False
    return lacks or better_behind_more(track, dump.octets)


def tells(waiting: Finished, done: Finished) -> bool:
    """Whether a dump is printed like the one that waits."""
    a, b = waiting.track.shape, done.track.shape
    return not b.offset and a.group == b.group and a.gaps[:1] == b.gaps[:1]


def told(waiting: Finished, done: Finished) -> Finished:
    """The dump that waited, doubted where the other one has nothing in front, or behind."""
    track, dump = waiting.track, waiting.dump
    if dump is None:
        return waiting
    doubts: list[Doubt] = []
    if track.shape.lead.strip() and not done.track.shape.lead.strip():
        other = "further in front: other dumps have such words in a line of their own"
        doubts.append(_doubt("where the row starts", "at its first octet", other, track))
    if short_end(track) and short_end(done.track) == "":
        other = "further on: a blank stands there that other dumps do not have"
        taken = f"behind {track.total} octets"
        doubts.append(_doubt("where the dump ends", taken, other, track))
    return waiting._replace(dump=dump._replace(doubts=(*dump.doubts, *doubts)))


def _doubt(about: str, taken: str, other: str, track: Track) -> Doubt:
    return Doubt(about, taken, other, True, track.rows[-1].line)
