"""The tolerant reader: feeds on text, gives dumps, and accounts for every character."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Sequence
from itertools import chain

from framecheck.core.frame import Doubt, Dump
from framecheck.core.text import Mark
from framecheck.reading._apart import LEAST, one_each
from framecheck.reading._aside import Aside, could_wait, waits_on
from framecheck.reading._beyond import beyond, displaced
from framecheck.reading._block import (
    Block,
    Found,
    begins_row,
    block_at,
    opens,
    said_behind,
    torn_off,
    track_of,
)
from framecheck.reading._facts import Facts, facts, joined, near
from framecheck.reading._finish import Finished, finished
from framecheck.reading._front import Titles, titled
from framecheck.reading._joins import (
    almost,
    begun,
    behind_first,
    jumped,
    loose,
    mended,
    rejoined,
    run_together,
    too_short,
)
from framecheck.reading._lines import LONGEST, Line, Lines, longer
from framecheck.reading._marks import Tiling
from framecheck.reading._missed import Missed
from framecheck.reading._neighbours import NEAR, last_line, like
from framecheck.reading._odd import odd_string, of_string
from framecheck.reading._offsets import restarts
from framecheck.reading._parse import DIGITS, MAYBE, readings
from framecheck.reading._reading import Reading
from framecheck.reading._repeat import counts, repeated
from framecheck.reading._results import Results
from framecheck.reading._rows import may_run, rows_at
from framecheck.reading._shape import Shape, Taken
from framecheck.reading._split import divided
from framecheck.reading._terminal import is_plain, shown
from framecheck.reading._torn import cut_short
from framecheck.reading._track import ETHERTYPES, STRONG, Track
from framecheck.reading._uneven import UNEVEN, uncut
from framecheck.reading._wrap import Unwrapper, may_break
from framecheck.reading.traits.sign import unsigned

_RECENT = 3
_MOST_SHAPES = 4
_MOST_AGAIN = 16
"""Lines of a block that was none, of which any but the first may begin one."""


class Reader:
    """Reads dumps from text that arrives in pieces of any size.

    ``content`` says in bits how much the octets look like the beginning of a frame (negative:
    they do not); without it the text alone decides. ``keep_marks`` keeps what each character
    is, for ``marks``; the counters are kept always. Never raises on any text.
    """

    def __init__(
        self, content: Callable[[bytes], float] | None = None, *, keep_marks: bool = False
    ) -> None:
        self._content = content
        self._lines = Lines()
        self._tiling = Tiling() if keep_marks else None
        self._open: list[Track] = []
        self._block: Block | None = None
        self._block_facts = Facts()
        self._behind = ""
        """The line that ended the block."""
        self._recent: deque[str] = deque(maxlen=_RECENT)
        self._ahead: tuple[str, ...] = ()
        """Lines in front of the open dump."""
        self._past: deque[Line] = deque(maxlen=1)
        self._unwrap = Unwrapper()
        self._titles = Titles()
        self._aside = Aside()
        self._passed = (0, "")
        """The last line that is no dump's, and its number."""
        self._chatter_before = False
        self._lost_rows: Track | None = None
        """The last rows that were weighed and that are no dump."""
        self._longest_said = False
        self.doubts: list[Doubt] = []
        """What was not sure; the dumps' own doubts are in the dumps."""
        self._missed = Missed(content, self.doubts, self._late)
        self._results = Results(content, self._tiling, self._missed.read, self._lost)

    @property
    def characters(self) -> int:
        """Characters of the whole lines read so far."""
        return self._lines.characters

    @property
    def digits(self) -> int:
        """Characters that are digits of octets of the dumps given out."""
        return self._results.digits

    @property
    def framing(self) -> int:
        """Other characters of their rows."""
        return self._results.framing

    @property
    def skipped(self) -> int:
        """Characters that belong to no dump."""
        return self.characters - self.digits - self.framing

    @property
    def marks(self) -> list[Mark]:
        """What each character is, tiling the text without gap; empty unless kept."""
        return self._tiling.marks(self.characters) if self._tiling else []

    def feed(self, text: str) -> list[Dump]:
        """Read one more piece; the dumps that it made whole, in the order of the log."""
        unwrap = self._unwrap
        for line in self._lines.feed(text, self._quick):
            for shown_line in (line,) if is_plain(line.text) else shown(line):
                if not unwrap.held and not may_break(shown_line.text):
                    unwrap.seen.append(len(shown_line.text))
                    self._parts(shown_line)
                    continue
                for whole in unwrap.feed(shown_line):
                    self._parts(whole)
        return self._given()

    def close(self) -> list[Dump]:
        """The text has ended; the last dumps."""
        for line in chain.from_iterable(map(shown, self._lines.close())):
            for whole in self._unwrap.feed(line):
                self._parts(whole)
        for whole in self._unwrap.close():
            self._parts(whole)
        self._behind = ""
        while self._block is not None:
            self._end_block(at_end=True)
        self._close_all(at_end=True)
        self._close_aside()
        self._results.close()
        self._missed.close()
        return self._given()

    def _parts(self, line: Line) -> None:
        for part in one_each(line) if len(line.text) >= LEAST else (line,):
            self._line(part)

    def _given(self) -> list[Dump]:
        """The dumps that are whole, but for those behind one that still waits."""
        oldest = self._aside.first_line()
        if self._open and (oldest is None or self._open[0].rows[0].line < oldest):
            oldest = self._open[0].rows[0].line
        return self._results.given(oldest)

    def _line(self, line: Line) -> None:
        if "fffff" in line.text or "FFFFF" in line.text:
            line = unsigned(line, bool(self._open) and self._open[0].shape.group == 1)
        if self._block is not None and self._in_block(line):
            return
        tracks = self._open
        if not line.text and not self._aside.groups:
            for track in tracks:
                track.blanks += 1
            return
        if tracks:
            waits = self._aside.groups and (
                not tracks[0].expects(line.text) or self._aside.owed(tracks[0])
            )
            if waits and self._resume(line):
                return
            if len(tracks) == 1:
                if len(line.text) == tracks[0].length and self._anew(tracks[0], line):
                    return
                named = self._aside.groups and self._aside.named(line.text, tracks[0])
                if not named and self._continues(tracks[0], line):
                    return
            elif self._narrow(tracks, line):
                return
        self._other(line)

    def _anew(self, track: Track, line: Line) -> bool:
        """Whether the line begins the next dump of the same shape, behind one that is whole."""
        shape = track.shape
        if not (shape.offset and shape.first == 0 and self._results.shapes[:1] == [shape]):
            return False
        if self._aside.groups or not track.known or not track.complete:
            return False
        taken = shape.take(line.text, 0)
        if taken is None:
            return False
        self._close_all()
        self._known(shape, taken, line)
        return True

    def _quick(
        self, texts: list[str], index: int, number: int, start: int, end: int
    ) -> tuple[int, int]:
        """Take full rows of the one open dump; most lines are such rows."""
        while len(self._open) == 1 and self._block is None and not self._unwrap.held:
            track = self._open[0]
            if self._aside.groups or not may_run(track):
                break
            before = index
            index, start = rows_at(track, texts, index, number, start, end)
            if index == before:
                break
            number += index - before
            if not track.shape.offset:
                if track.claimed_reached:
                    self._close_all()
                elif track.parts[-1][12:14] in ETHERTYPES:
                    self._split(track)
        return index, start

    def _in_block(self, line: Line) -> bool:
        """Whether the line goes on with the block; if not, the block is read out."""
        while self._block is not None:
            if self._block.take(line):
                return True
            cut, self._behind = not line.ended, line.text
            self._end_block(at_end=begins_row(line, self._block.lines), cut=cut)
        return False

    def _follows(self, line: Line) -> bool:
        """Whether the line is the next row of an open dump."""
        tracks = self._open
        if len(tracks) == 1:
            return self._continues(tracks[0], line)
        return bool(tracks) and self._narrow(tracks, line)

    def _end_block(self, *, at_end: bool = False, cut: bool = False) -> None:
        """Give out what the block holds, and read the other lines of it one by one.

        ``at_end``: the log ends here; ``cut``: it ends in the line behind the block.
        """
        block, self._block = self._block, None
        assert block is not None
        kept = 0
        dones = []
        for found in block.found():
            about = self._block_facts
            if found.lead.strip():
                about = joined(facts(found.lead), about)
            row = found.rows[-1].line
            rest = [line for line in block.lines if line.number > row.number]
            behind = rest[0].text if rest else self._behind
            about = said_behind(about, found, behind)
            close = self._passed[0] == found.rows[0].line.number - 1
            front = self._right_in_front(found.rows[0].line.number)
            whole = torn_off(found, self._passed[1] if close else "", behind, self._content)
            whole = beyond(whole, front, behind, self._content)
            whole = cut_short(whole, self._content)
            track = track_of(whole, about, self._content)
            number = found.rows[0].line.number
            track.at_top = number == 1 or (number == 2 and not (close and titled(self._passed[1])))
            shorter = all(begins_row(line, [row]) for line in rest)
            last = (found.open and (at_end or cut)) or (at_end and shorter)
            dones.append(
                finished([track], self._content, at_end=last, first=self._results.dumps == 0)
            )
            kept = max(kept, *(row.line.number for row in found.rows))
        if 2 * sum(done.dump is not None for done in dones) > len(dones):
            self._close_all()
            self._recent.clear()
            for done in dones:
                self._results.keep(done)
        else:
            kept = 0
        again = kept > 0 or len(block.lines) <= _MOST_AGAIN
        for index, line in enumerate(block.lines):
            if line.number <= kept:
                continue
            if again and (kept or index):
                self._line(line)
            elif not self._follows(line):
                self._other(line, blocks=False)

    def _continues(self, track: Track, line: Line) -> bool:
        if not (track.half and rejoined(track, line)) and not track.take(line):
            return False
        if self._aside.groups:
            self._aside.rivals(track)
        if len(track.rows) == 2 and track.first_value != 0:
            self._look_back(track)
        if track.closed:
            self._close_all()
        elif not track.shape.offset:
            if track.claimed_reached:
                self._close_all()
            elif track.parts[-1][12:14] in ETHERTYPES:
                self._split(track)
        return True

    def _look_back(self, track: Track) -> None:
        """A dump that starts above its base: the line in front may be its broken first row."""
        if self._past and behind_first(track, self._past[-1]):
            self._past.clear()
        held = [self._results.held] if self._results.held else []
        for lone in (*(group[0] for _, group in reversed(self._aside.groups)), *held):
            if track.first_value != 0 and len(lone.rows) == 1 and not lone.lines[0].pieces:
                start, size, *_ = lone.lines[0]
                if behind_first(track, Line(lone.text, lone.rows[0].line, start, size)):
                    self._forget(lone)

    def _forget(self, track: Track) -> None:
        """A row that was taken for a dump of its own is part of another one."""
        self._aside.groups = [g for g in self._aside.groups if g[1][0] is not track]
        self._results.forget(track)

    def _narrow(self, tracks: list[Track], line: Line) -> bool:
        """Several readings of the first row stand open: those that go on stay."""
        if any(restarts(t, line.text) for t in tracks):
            return False
        going = [t for t in tracks if t.take(line)]
        if not going:
            return False
        counted = [t for t in going if t.shape.offset]
        if counted and len(going) > 1:
            # An offset column that progresses exactly is not chance.
            going = counted
        self._open = going
        if len(going[0].rows) == 2 and going[0].first_value != 0:
            self._look_back(going[0])
        if len(going) == 1 and not going[0].shape.offset:
            self._split(going[0])
        return True

    def _split(self, track: Track) -> None:
        """A bare row may begin the next frame: its contents say so."""
        fresh = divided(track, self._content)
        if fresh is not None:
            self._close_all()
            self._open = [fresh]

    def _other(self, line: Line, *, blocks: bool = True) -> None:
        """A line that goes on with no open dump at once."""
        text = line.text
        if line.size > LONGEST and not self._longest_said:
            self._longest_said = True
            self.doubts.append(longer(line))
        if not text or text.isspace():
            for t in self._open:
                t.blanks += 1
            return
        if self._open and self._repeats(line):
            return
        if self._aside.groups and self._resume(line):
            return
        if len(self._open) == 1:
            two = run_together(self._open[0], line)
            if two:
                for part in two:
                    self._line(part)
                return
            if mended(self._open[0], line):
                return
            begun(self._open[0], line)
        for shape in self._results.shapes:
            taken = shape.take(text, None)
            if taken is None or (shape.offset and taken.value not in (0, shape.first)):
                continue
            if self._open and jumped(self._open[0], line):
                return
            if not shape.offset and len(taken.octets) < min(shape.per_row, 14):
                continue
            self._set_aside(line)
            self._known(shape, taken, line)
            return
        digits = DIGITS(text)
        if blocks and (digits or opens(text)) and self._begin_block(line):
            return
        maybe = digits and MAYBE.search(text)
        found = readings(text) if maybe else []
        if not found and maybe and self._odd_string(line):
            return
        if not found:
            self._chatter(line)
            return
        if self._open and self._goes_on(found, line):
            return
        self._first(found, line)

    def _known(self, shape: Shape, taken: Taken, line: Line) -> None:
        """Open a dump of a shape that one before had."""
        about = self._facts(shape.front(line.text, taken), len(taken.octets))
        track = Track(shape, about, self._content)
        track.known = True
        track.text = line.text
        track.add(taken, line)
        self._begin([track])

    def _begin_block(self, line: Line) -> bool:
        """Whether the line begins a block that several lines together have to read."""
        block = block_at(line, self._content)
        if block is None:
            return False
        self._block = block
        self._block_facts = self._facts("")
        return True

    def _odd_string(self, line: Line) -> bool:
        """A long string of digits that are odd in number: one was lost, or came twice."""
        found = odd_string(line.text)
        if found is None or self._content is None or self._content(found.octets) < STRONG:
            return False
        self._set_aside(line)
        track = Track(Shape(found), self._facts(found.lead), self._content)
        track.begin(found, line)
        track.note(of_string(track.total, line.number))
        self._begin([track])
        return True

    def _resume(self, line: Line) -> bool:
        """Whether the line is the next row of a dump that waits; if so, that one is open."""
        for group in self._aside.overdue(line.number):
            self._finish(group)
        found = self._aside.resumed(line, self._open)
        if found is None:
            return False
        self._set_aside(line)
        self._open = found
        self._aside.rivals(found[0])
        if found[0].closed or (found[0].claimed_reached and not found[0].shape.offset):
            self._close_all()
        return True

    def _set_aside(self, line: Line) -> None:
        """Another dump goes on or begins: the open one waits, if it may, or ends."""
        for track in self._open:
            almost(track, line, starts=True)
        if could_wait(self._open):
            self._aside.groups.append((line.number, self._open))
            self._open = []
            for group in self._aside.overdue(line.number):
                self._finish(group)
        else:
            self._close_all()

    def _close_aside(self) -> None:
        for group in self._aside.rest():
            self._finish(group)

    def _repeats(self, line: Line) -> bool:
        """Whether the line is a repeat marker of an open dump, or the row behind one."""
        held = next((t for t in self._open if t.marker is not None), None)
        marker = held and held.marker
        going = [t for t in self._open if repeated(t, line)]
        if not going:
            if held and marker and counts(marker.text, held.shape.lead):
                self._chatter(marker)  # it stands for no rows: it may speak of what follows
            return False
        self._open = going
        if going[0].closed:
            self._close_all()
        return True

    def _goes_on(self, found: list[Reading], line: Line) -> bool:
        """Whether a line that the shape did not read is the open dump's next row all the same."""
        for track in self._open:
            if jumped(track, line) or any(loose(track, reading, line) for reading in found):
                for other in self._open:
                    if other is not track:
                        almost(other, line, starts=True)
                return True
        return False

    def _first(self, found: list[Reading], line: Line) -> None:
        """Open a dump on a line, in each way to read it that is not clearly worse."""
        found = [uncut(reading, line) for reading in found]
        best = found[0]
        value = best.offset and int(best.line[best.offset[0] : best.offset[1]], 16)
        for track in self._open:
            if not track.shape.offset or value != 0:
                almost(track, line)
        if len(best.octets) < 3 and not best.offset:
            self._chatter(line)
            return
        self._set_aside(line)
        about = self._facts(best.lead, len(best.octets))
        tracks = []
        for reading in found:
            uneven = reading.notation in UNEVEN and reading.groups[0] == best.groups[0]
            same = reading.groups[-1] == best.groups[-1] or reading is best or uneven
            same = same or reading.summed or best.summed
            if same and abs(len(reading.octets) - len(best.octets)) <= best.group * 2:
                track = Track(Shape(reading), about, self._content)
                track.begin(reading, line)
                tracks.append(track)
        self._begin(tracks[:3])

    def _begin(self, tracks: list[Track]) -> None:
        number = tracks[0].rows[0].line
        front = self._in_front(number)
        further = tuple(self._recent)[:-1]
        close = 0 < self._results.last_row == number - 1
        lost = self._lost_rows
        if lost is not None and 0 < number - last_line(lost) <= _RECENT:
            close = close or like(lost.shape, tracks[0].shape)
        broken = self._results.last_unsure and 0 < number - self._results.last_row <= _RECENT
        for _, (waiting, *_) in self._aside.groups:
            lines = number - last_line(waiting)
            broken = broken or 0 < lines <= _RECENT
            if lines <= NEAR and len(waiting.rows) == 1:
                further += (waiting.text,)
        for track in tracks:
            self._titles.before(track, front, further)
            track.close = close
            track.behind_broken = broken
        self._open = tracks
        self._ahead = tuple(self._recent)
        self._recent.clear()

    def _in_front(self, number: int) -> str:
        """The line in front of a dump's first, when it is no dump or a row that waits alone."""
        if self._passed[0] == number - 1:
            return self._passed[1]
        waiting = self._aside.groups[-1][1][0] if self._aside.groups else None
        alone = waiting and len(waiting.rows) == 1 and waiting.rows[0].line == number - 1
        return waiting.text if waiting and alone else ""

    def _right_in_front(self, number: int) -> str:
        """The line in front of a block, also when it is a row of a dump that is still open."""
        track = self._open[0] if self._open else None
        if track and last_line(track) == number - 1:
            return track.texts[-1]
        return self._in_front(number)

    def _facts(self, lead: str, octets: int = 0) -> Facts:
        """What the lines near by say, and the prefix of a first row of so many octets."""
        return near(lead, self._recent, octets, (self._results.unsaid, *self._aside.unsaid()))

    def _chatter(self, line: Line) -> None:
        if not line.ended and any(too_short(t, line.text) for t in self._open):
            return  # the log ends in the first characters of the next row
        self._missed.look(line)
        self._recent.append(line.text[:400])
        self._past.append(line)
        self._passed = (line.pieces[-1].number if line.pieces else line.number, line.text)
        self._results.passed(line.text, line.number, not self._open)
        for track in self._open:
            almost(track, line)
        self._chatter_before = True
        waits = False
        for track in self._open:
            track.chatter += 1
            track.over = track.over or not waits_on(track, line.text)
            waits = waits or (not track.over and track.shape.apart)
        if any(track.over for track in self._open) and not waits:
            self._close_all()
            self._close_aside()

    def _close_all(self, *, at_end: bool = False) -> None:
        tracks, self._open = self._open, []
        if not tracks:
            return
        self._past.clear()
        self._finish(tracks, at_end=at_end)

    def _finish(self, tracks: list[Track], *, at_end: bool = False) -> None:
        self._results.keep(
            finished(
                tracks,
                self._content,
                at_end=at_end,
                first=self._results.dumps == 0,
                usual=self._results.usual,
            )
        )

    def _late(self, found: Found, front: Sequence[str], behind: str) -> None:
        """Lines of chatter turn out to be a dump."""
        about = said_behind(near(found.lead, front), found, behind)
        track = track_of(displaced(found), about, self._content)
        self._results.late(finished([track], self._content, at_end=False, first=False, sure=True))

    def _lost(self, done: Finished) -> None:
        """What was weighed is chatter after all: what stood in front of it stands there still."""
        track = self._lost_rows = done.track
        own = [track.text[:400]] if len(track.rows) == 1 else []
        self._recent = deque([*self._ahead, *own, *self._recent], maxlen=_RECENT)
        if last_line(track) > self._passed[0]:
            self._passed = last_line(track), track.texts[-1]
        start, size, *_ = track.lines[-1]
        if not track.lines[-1].pieces:
            self._past.append(Line(track.texts[-1], track.rows[-1].line, start, size))
        self._missed.lost(track, done.doubt)
