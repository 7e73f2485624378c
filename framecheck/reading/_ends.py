"""How dumps of one line end: a blank behind the last octet may be the printer's, or all that is
left of the octets that the console lost. Another dump of the log tells which.
"""

from __future__ import annotations

from framecheck.core.frame import Doubt
from framecheck.reading._finish import Finished
from framecheck.reading._front import kind
from framecheck.reading._irregular import short_end
from framecheck.reading._wanted import wanted


def may_go_on(done: Finished) -> bool:
    """Whether the frame of one line lacks octets, and a blank stands where more may have been."""
    track, dump = done.track, done.dump
    if dump is None or track.usual_end is not None or dump.at_edge:
        return False
    own = wanted(dump.octets)
    lacks = own is not None and own > track.total
    return lacks and bool(short_end(track)) and not any(d.decides for d in dump.doubts)


def tells_end(waiting: Finished, done: Finished) -> bool:
    """Whether a dump is printed as the one that waits, so that its end tells that one's."""
    same = kind(waiting.track) == kind(done.track)
    return same and short_end(done.track) is not None


def ends_open(waiting: Finished, done: Finished) -> Finished:
    """The dump that waited, doubted where another one has nothing behind its octets."""
    track, dump = waiting.track, waiting.dump
    if dump is None or short_end(track) == short_end(done.track):
        return waiting
    doubt = Doubt(
        "where the dump ends",
        f"behind {track.total} octets",
        "further on: a blank stands there that the other dumps do not have",
        True,
        track.rows[-1].line,
    )
    return waiting._replace(dump=dump._replace(doubts=(*dump.doubts, doubt)))
