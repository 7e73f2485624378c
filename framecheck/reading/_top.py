"""The tail of a frame at the top of a log that was cut: rows like those of later dumps."""

from __future__ import annotations

from framecheck.core.frame import Doubt
from framecheck.reading._finish import Finished
from framecheck.reading._scraps import are_numbers
from framecheck.reading._track import STRONG, Content, Track

_FIRST_LINES = 2
_FEWEST = 2


def maybe_tail(done: Finished, content: Content | None) -> bool:
    """Whether the first rows of a log may be the end of a frame that begins above them."""
    track = done.track
    if track.shape.offset or track.block or track.behind or content is None:
        return False
    if track.rows[0].line > _FIRST_LINES or track.total < _FEWEST or track.facts.claimed:
        return False
    if are_numbers(track.octets):
        return False
    return not track.shape.lead.strip() and content(track.octets) < STRONG


def same_rows(top: Track, later: Track) -> bool:
    """Whether a later dump's rows look like those at the top."""
    a, b = top.shape, later.shape
    if b.offset or a.notation != b.notation or len(later.rows) < 2 or not b.gaps:
        return False
    if a.lead_pattern != b.lead_pattern or not set(a.gaps) <= set(b.gaps):
        return False
    if a.group != b.group and (a.gaps or top.total > b.group):
        return False  # one group tells nothing, unless it is longer than the later ones
    return a.per_row == b.per_row or (len(top.rows) == 1 and a.per_row < b.per_row)


def as_tail(done: Finished) -> Finished:
    """The dump, said to be cut off at its front."""
    dump = done.dump
    if dump is None:
        return done
    doubt = Doubt(
        "first rows",
        "the end of a frame whose start is not in the log",
        "a frame of its own",
        True,
        done.track.rows[0].line,
    )
    return done._replace(dump=dump._replace(at_start=True, doubts=(*dump.doubts, doubt)))
