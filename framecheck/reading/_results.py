"""What the reader has read: dumps that wait for their neighbours, and those that go out."""

from __future__ import annotations

from collections.abc import Callable

from framecheck.core.frame import Dump
from framecheck.reading._ends import counts_fcs, may_go_on, tells, told
from framecheck.reading._finish import Finished, finished, first_line
from framecheck.reading._irregular import FIRST
from framecheck.reading._marks import Tiling
from framecheck.reading._neighbours import beside, is_far, last_line, torn, unfinished
from framecheck.reading._shape import Shape
from framecheck.reading._top import as_tail, maybe_tail, same_rows
from framecheck.reading._track import WIDTHS, Content, Track
from framecheck.reading._uneven import UNEVEN
from framecheck.reading._wanted import wanted

_MOST_SHAPES = 4
_MOST_WAITED = 16
"""Dumps unlike it that one waits through for another that is like it."""
_PLACES = frozenset((FIRST, "where octets begin", "where the row starts", "where the row ends"))
"""What doubts of the columns of octets are about."""


class Results:
    """Finished dumps in the order of the log, and what is known by them.

    ``tiling`` collects their rows, ``read`` is told of each of them, and ``chatter`` of what was
    weighed and found to be none.
    """

    def __init__(
        self,
        content: Content | None,
        tiling: Tiling | None,
        read: Callable[[Track], None],
        chatter: Callable[[Finished], None],
    ) -> None:
        self._content = content
        self._tiling = tiling
        self._read = read
        self._chatter = chatter
        self._top: Finished | None = None
        """What stands at the top of the log and may be a frame's tail."""
        self._held: Finished | None = None
        """A dump whose frame is not whole: what follows may be the rest of it."""
        self._ends: Finished | None = None
        """One that may lack octets; another dump says whether it is printed as usual."""
        self._waited = 0
        """Dumps behind that one that are not like it."""
        self._out: list[Dump] = []
        self.shapes: list[Shape] = []
        """Shapes of the last dumps, the latest first."""
        self.dumps = 0
        self.last_unsure = False
        """Whether a doubt decides about the last dump, or whole rows of it may be lacking."""
        self.last_row = 0
        """The last line of the last dump."""
        self.usual: int | None = None
        """By how much the last dump was shorter than its announced length."""
        self.unsaid = 0
        """Octets of the last dump, when no line announced them."""
        self.digits = 0
        self.framing = 0

    @property
    def held(self) -> Track | None:
        """The dump that waits for what follows it."""
        return self._held.track if self._held else None

    def given(self, oldest: int | None) -> list[Dump]:
        """The dumps that are whole, but for those behind one that still waits.

        ``oldest``: the first line of the oldest dump that is open or aside.
        """
        if not self._out or (self._top and self._top.dump):
            return []
        for waiting in (self._held, self._ends):
            if waiting and waiting.dump:
                first = first_line(waiting.dump)
                oldest = first if oldest is None else min(first, oldest)
        self._out.sort(key=first_line)
        ready = len(self._out)
        while oldest is not None and ready and first_line(self._out[ready - 1]) > oldest:
            ready -= 1
        out, self._out = self._out[:ready], self._out[ready:]
        return out

    def keep(self, done: Finished) -> None:
        """One more dump, or what turned out to be none."""
        if self.dumps == 0 and self._top is None and maybe_tail(done, self._content):
            self._top = done
            if done.dump is not None:
                self.dumps += 1
                return
        elif done.dump is not None:
            self._settle_top(done)
        self._count(self._beside(done))

    def late(self, done: Finished) -> None:
        """One more dump, of lines that were taken for chatter: its neighbours are out already."""
        if done.dump is not None:
            self.dumps += 1
            self._let_out(done)

    def passed(self, text: str, number: int, alone: bool) -> None:
        """A line of chatter; ``alone``: no dump is open there."""
        if self._held:
            self._held = torn(self._held, text, number)
            if alone and is_far(self._held, number):
                self._release()

    def forget(self, track: Track) -> None:
        """A dump that waits is part of another one."""
        if self.held is track:
            self._held = None
            self.dumps -= 1

    def close(self) -> None:
        """The text has ended: nothing waits any longer."""
        self._settle_top(None)
        self._release()
        self._settle_end(None)

    def _settle_top(self, done: Finished | None) -> None:
        """What stood at the top of the log is a frame's tail when later rows are like it."""
        top, self._top = self._top, None
        if top is None:
            return
        if done is not None and same_rows(top.track, done.track):
            if top.dump is None:
                # What it was weighed by is known now; it is the log's first dump.
                top = finished([top.track], None, at_end=False, first=True, sure=True)
            top = as_tail(top)
        if top.dump is not None:
            self._count(top)

    def _count(self, done: Finished) -> None:
        if done.dump is None:
            self._chatter(done)
            return
        track, shape = done.track, done.track.shape
        self.dumps += 1
        self._read(track)
        self.last_row = last_line(track)
        own = wanted(done.dump.octets) if track.full and not shape.offset else None
        unsure = bool(done.dump.doubts) and any(d.decides for d in done.dump.doubts)
        self.last_unsure = unsure or (own is not None and own > track.total)
        self.unsaid = 0 if track.facts.claimed else track.total
        track.counts_more = self.usual is None and counts_fcs(track)
        # By how much a broken dump differs is usual only until another one is read.
        known = self.usual is None or not self.last_unsure
        if track.facts.claimed and track.claimed is not None and known:
            self.usual = track.claimed - track.total
        shape.first = track.first_value
        shape.most_rows = max(shape.most_rows, len(track.rows))
        if shape in self.shapes:
            self.shapes.remove(shape)
        even = shape.notation not in UNEVEN and not track.block
        # How a line that the console broke looks is no habit of its printer.
        deciding = {d.about for d in done.dump.doubts if d.decides} if done.dump.doubts else set()
        sure = not (deciding & _PLACES if len(track.rows) > 1 else deciding)
        if even and sure and (len(track.rows) > 1 or shape.per_row in WIDTHS):
            self.shapes.insert(0, shape)
            del self.shapes[_MOST_SHAPES:]
        if unfinished(done):
            self._held = done
        else:
            self._give(done)

    def _give(self, done: Finished) -> None:
        """The dump goes out, unless another one has to say how such dumps end."""
        if self._ends is not None:
            self._settle_end(done)
        elif len(done.track.rows) == 1 and may_go_on(done):
            self._ends, self._waited = done, 0
            return
        self._let_out(done)

    def _settle_end(self, done: Finished | None) -> None:
        """What stands behind a dump (None: behind none) says whether octets are lost in front."""
        waiting = self._ends
        if waiting is None:
            return
        if done is not None and not tells(waiting, done):
            self._waited += 1
            if self._waited < _MOST_WAITED:
                return
            done = None
        self._ends = None
        self._let_out(told(waiting, done))

    def _let_out(self, done: Finished) -> None:
        """The dump is given out, and its characters are counted."""
        if done.dump is None:
            return
        self.digits += done.dump.digits
        self.framing += done.dump.framing
        if self._tiling:
            self._tiling.add(done.track)
        self._out.append(done.dump)

    def _beside(self, done: Finished) -> Finished:
        """The dump, and the one in front of it, with a doubt when the two may be one."""
        if self._held is None:
            return done
        self._held, done = beside(self._held, done, self._content)
        if done.dump is not None or is_far(self._held, done.track.rows[0].line):
            self._release()
        return done

    def _release(self) -> None:
        """The dump that was held goes out: nothing near it belongs to it."""
        if self._held is not None:
            self._give(self._held)
        self._held = None
