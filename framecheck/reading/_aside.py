"""Dumps that wait while another one is printed: the rows of two tasks that write at one time."""

from __future__ import annotations

import re

from framecheck.core.frame import INTERLEAVED, Doubt
from framecheck.reading._facts import facts
from framecheck.reading._lines import Line
from framecheck.reading._track import WIDTHS, Track

MOST_WAITING = 3
_ROWS = tuple(n for n in WIDTHS if n >= 8)
MOST_LINES = 64
"""Lines that a dump waits for its next row."""
_RECENT = 3
_MOST_CHATTER = 40
_LABEL = re.compile(r"([A-Za-z_]{1,16}\d{1,4})\W{0,3}$")


class Aside:
    """The open dumps that another one interrupted, each in every way to read it."""

    def __init__(self) -> None:
        self.groups: list[tuple[int, list[Track]]] = []
        """For each: the line that interrupted it, and its readings."""

    def first_line(self) -> int | None:
        """The first line of the oldest."""
        return min((g[0].rows[0].line for _, g in self.groups), default=None)

    def unsaid(self) -> list[int]:
        """Octets of those whose length no line announced."""
        return [g[0].total for _, g in self.groups if not g[0].facts.claimed]

    def owed(self, open_: Track) -> bool:
        """Whether a row goes rather to one that waits: the open one has all, and that one lacks."""
        return (
            open_.shape.offset
            and open_.complete
            and any(g[0].expected == open_.expected and not g[0].complete for _, g in self.groups)
        )

    def named(self, text: str, open_: Track) -> bool:
        """Whether the word in front of a row is a waiting dump's, and not the open one's."""
        if not self.groups or not open_.shape.offset:
            return False
        word = label(open_, text)
        return bool(word) and word != label(open_) and word in [label(g[0]) for _, g in self.groups]

    def resumed(self, line: Line, open_: list[Track]) -> list[Track] | None:
        """The dump whose next row the line is; it waits no longer."""
        for k in range(len(self.groups) - 1, -1, -1):
            since, group = self.groups[k]
            counted = [t for t in open_ if t.shape.offset]
            if any(_foreign(group[0], line.text, other) for other in counted):
                continue
            going = [t for t in group if t.take(line)]
            if going:
                del self.groups[k]
                for track in going:
                    if any(_labelled(track, other) for other in counted):
                        continue
                    _say(track, since, open_[0] if len(open_) == 1 else None)
                return going
        return None

    def overdue(self, number: int) -> list[list[Track]]:
        """Those that have waited too long, or are too many."""
        out = []
        while self.groups and (
            len(self.groups) > MOST_WAITING or number - self.groups[0][0] > MOST_LINES
        ):
            out.append(self._let_go())
        return out

    def rest(self) -> list[list[Track]]:
        """Those that are left: they wait no longer."""
        return [self._let_go() for _ in list(self.groups)]

    def _let_go(self) -> list[Track]:
        """The oldest: what interrupted it may have its rows."""
        since, group = self.groups.pop(0)
        for track in group:
            track.broken_off = track.broken_off or since
        return group

    def rivals(self, track: Track) -> None:
        """The row that a dump has just taken may as well be the next one of those that wait."""
        if not track.shape.offset or not track.progressed:
            return
        value = (track.first_value or 0) * track.shape.unit + track.rows[-1].first
        for _, group in self.groups:
            other = group[0]
            shape = other.shape
            if not shape.offset or other.expected is None:
                continue
            same = shape.lead_pattern == track.shape.lead_pattern and shape.unit == track.shape.unit
            same = same and not _labelled(track, other)
            if same and other.expected * shape.unit == value:
                _note(track, True, len(track.rows) - 1)
                _parted_in_front(track, other, len(other.rows))
                other.rivalled = True


def label(track: Track, text: str | None = None) -> str:
    """The word with a number right in front of the offset of a row (None: of the first one)."""
    m = track.shape.match(track.texts[0] if text is None else text)
    found = _LABEL.search(m.string[: m.start(1)][-24:]) if m else None
    return found[1] if found else ""


def _labels(track: Track) -> set[str]:
    return {label(track, text) for text in (track.texts[0], *track.texts[-3:])}


def _labelled(track: Track, other: Track) -> bool:
    """Whether each of two dumps has its own word in front of all its offsets."""
    if not track.shape.offset or not other.shape.offset:
        return False
    mine, theirs = _labels(track), _labels(other)
    return len(mine) == len(theirs) == 1 and mine != theirs and "" not in mine | theirs


def _foreign(track: Track, text: str, other: Track) -> bool:
    """Whether the word in front of a row is another dump's, of two that have their own."""
    return _labelled(track, other) and label(track, text) != label(track)


def waits_on(track: Track, text: str) -> bool:
    """Whether a dump may go on behind a line of chatter."""
    if not track.full:
        half = track.half is not None and not track.claimed_reached
        return half and track.chatter < _RECENT and not facts(text).claimed
    if track.shape.offset:
        return track.chatter <= _MOST_CHATTER
    claimed = track.claimed
    if claimed is None or track.total >= claimed or track.chatter > _RECENT:
        return False
    said = facts(text)
    return not (said.claimed or said.frame)


def could_wait(group: list[Track]) -> bool:
    """Whether more rows of a dump may come although another one begins."""
    if not group or not group[0].full or group[0].block:
        return False
    track = group[0]
    if any(d.about == "where the dump ends" for d in track.doubts):
        return False  # the line that interrupts it is its own, broken
    if track.closed or track.complete or track.shape.per_row not in _ROWS:
        return False
    if track.shape.offset:
        return track.expected is not None
    return track.claimed is not None and track.shape.per_row in WIDTHS


def _say(track: Track, since: int, other: Track | None) -> None:
    """The rows that may be either dump's are doubtful in both."""
    if track.rivalled:
        track.rivalled = False
        _note(track, True, len(track.rows) - 1)
    k = None if other is None else _rival(track, since, other)
    if other is None or k is None:
        if track.shape.offset:
            _note(track, False, len(track.rows) - 1)
        else:
            _note(track, True, len(track.rows) - 1)
            if other is not None and _cells_alike(track, other):
                _note(other, True, len(other.rows) - 1)
        return
    if k == len(other.rows) - 1 and _waited_longer(track, other):
        _exchange(track, other)
    _note(track, True, len(track.rows) - 1)
    _note(other, True, k)
    _parted_in_front(track, other, k)


def _cells_alike(track: Track, other: Track) -> bool:
    """Whether the octets of one dump may stand in rows of the other: they are parted alike."""
    a, b = track.shape, other.shape
    return a.gaps[:1] == b.gaps[:1] or (not (a.gaps and b.gaps) and a.group == b.group)


def _parted_in_front(track: Track, other: Track, k: int) -> None:
    """Of rows that may be either dump's, nothing says to which start they belong.

    So the octets in which the rows in front differ are not sure either.
    """
    mine = b"".join(track.parts[:-1])
    theirs = b"".join(other.parts[:k])
    shift = ((track.first_value or 0) - (other.first_value or 0)) * track.shape.unit
    for i, octet in enumerate(mine):
        j = i + shift
        if 0 <= j < len(theirs) and theirs[j] != octet:
            track.doubtful.append((i, i + 1))
            other.doubtful.append((j, j + 1))


def _rival(track: Track, since: int, other: Track) -> int | None:
    """The other dump's row that may as well be the one that this dump has just taken."""
    shape = track.shape
    if not shape.offset or not other.shape.offset or other.first_value is None:
        return None
    if shape.lead_pattern != other.shape.lead_pattern or shape.unit != other.shape.unit:
        return None
    value = (track.first_value or 0) * shape.unit + track.rows[-1].first
    at = value - other.first_value * shape.unit
    for k in range(len(other.rows) - 1, -1, -1):
        row = other.rows[k]
        if row.first <= at:
            return k if row.first == at and row.line > since else None
    return None


def _waited_longer(track: Track, other: Track) -> bool:
    """Whether this dump's row before is older than the other's: writers mostly take turns."""
    if len(track.rows) < 2 or len(other.rows) < 2:
        return False
    same = len(track.parts[-1]) == len(other.parts[-1])
    return same and track.rows[-2].line < other.rows[-2].line


def _exchange(track: Track, other: Track) -> None:
    mine, theirs = track.rows[-1], other.rows[-1]
    track.rows[-1], other.rows[-1] = (
        theirs._replace(first=mine.first),
        mine._replace(first=theirs.first),
    )
    track.lines[-1], other.lines[-1] = other.lines[-1], track.lines[-1]
    track.in_pieces = other.in_pieces = track.in_pieces or other.in_pieces
    track.odd_gutter = other.odd_gutter = track.odd_gutter or other.odd_gutter
    track.parts[-1], other.parts[-1] = other.parts[-1], track.parts[-1]
    track.texts[-1], other.texts[-1] = other.texts[-1], track.texts[-1]


def _note(track: Track, ambiguous: bool, k: int) -> None:
    row = track.rows[k]
    if ambiguous:
        track.doubtful.append((row.first, row.first + len(track.parts[k])))
    said = [d for d in track.doubts if d.about == INTERLEAVED]
    if said and (said[0].decides or not ambiguous):
        return
    track.doubts = [d for d in track.doubts if d.about != INTERLEAVED]
    track.doubts.append(
        Doubt(
            INTERLEAVED,
            "rows of one dump, by their offsets" if track.shape.offset else "rows of one dump",
            "rows of the dump that is printed at the same time",
            ambiguous,
            row.line,
        )
    )
