"""Rows that the console broke, moved or lost: whether a line belongs to a dump all the same."""

from __future__ import annotations

import re

from framecheck.core.frame import BROKEN_DIGITS, SPLIT_ROW, Doubt
from framecheck.reading._lines import Line, put_together, taken_apart
from framecheck.reading._mend import Mended, cut_row, mend
from framecheck.reading._odd import glued
from framecheck.reading._reading import Reading
from framecheck.reading._scraps import are_numbers, is_scrap
from framecheck.reading._shape import Taken
from framecheck.reading._track import MOST_OCTETS, SHORTEST, WIDTHS, Half, Track
from framecheck.reading._wanted import wanted

_DIGITS = re.compile(r"(?<![0-9A-Za-z_])(?:0x)?[0-9A-Fa-f]+")
_MOST_JUMP = 64
_ROW = re.compile(r"[0-9A-Fa-fxX\s:,;./|\-\[\]()]*")
_MOST_BETWEEN = 3
"""Lines of chatter between a dump and what may be the rest of it."""
_FEW = 2
"""Groups with a digit too many that are a fault and not the numbers of a message."""
_MOST_BACK = 5
"""Characters at the start of a message that may look like digits of a row."""


def mended(track: Track, line: Line) -> bool:
    """Whether the line is this dump's next row, broken by the console."""
    shape = track.shape
    if not track.full or track.blanks > 1:
        return False
    if not shape.offset and (track.blanks or track.chatter or track.complete):
        return False
    if shape.offset and track.expected is None:
        return False
    if len(track.rows) == 1 and not (shape.offset and track.first_value == 0):
        return False
    if not line.ended:
        cut = cut_row(shape, line.text, track.expected)
        if cut is not None:
            track.add(cut[0], line, cut[1])
            return True
    found = mend(shape, line.text, track.expected, line.number)
    if found is None:
        return False
    before = track.mark()
    _add_mended(track, found, line)
    track.half = Half(line, before, len(track.rows))
    return True


def _add_mended(track: Track, found: Mended, line: Line) -> None:
    """A broken row, with what is not sure of it."""
    first = track.total
    taken = found.taken
    track.add(taken, line)
    if not line.pieces:
        places = set(zip(taken.columns, taken.ends, strict=True))
        track.digits += sum(b - a for a, b in places) - 2 * len(taken.octets)
    track.doubts.extend(found.doubts)
    track.doubtful.extend((first + k, first + k + 1) for k in found.doubtful)
    if any(d.decides for d in found.doubts):
        track.broken += 1
    if found.missing:
        track.doubtful.append((max(0, track.total - 1), track.total + 1))
        track.full = True
        if track.expected is not None:
            track.expected += found.missing // track.shape.unit


def behind_first(track: Track, line: Line) -> bool:
    """Whether an earlier line is the row in front of the first; if so it is put there."""
    shape = track.shape
    before: int | None = None
    if shape.offset:
        if track.first_value is None or shape.per_row % shape.unit:
            return False
        before = track.first_value - shape.per_row // shape.unit
    elif line.number != track.rows[0].line - 1:
        return False
    if before is not None and before < 0:
        return False
    found = mend(shape, line.text, before, line.number)
    if found is None or found.missing or len(found.taken.octets) != shape.per_row:
        return False
    later = Track(shape, track.facts, track.content)
    _add_mended(later, found, line)
    n = later.total
    track.rows = later.rows + [r._replace(first=r.first + n) for r in track.rows]
    track.lines = later.lines + track.lines
    track.in_pieces = track.in_pieces or later.in_pieces
    track.odd_gutter = track.odd_gutter or later.odd_gutter
    track.parts = later.parts + track.parts
    track.texts = later.texts + track.texts
    track.doubts = later.doubts + track.doubts
    track.doubtful = later.doubtful + [(a + n, b + n) for a, b in track.doubtful]
    track.wrong = [k + n for k in track.wrong]
    track.total += n
    track.digits += later.digits
    track.first_value = before
    track.half = None
    track.torn = False
    return True


def almost(track: Track, line: Line, *, starts: bool = False) -> None:
    """A line that is no row of this dump, and looks as if it had been one.

    ``starts``: it begins another dump, so that only what is broken about it counts.
    """
    if track.blanks or track.claimed == track.total or track.chatter > _MOST_BETWEEN:
        return
    shape = track.shape
    scrap = not track.chatter and not track.broken_off and is_scrap(line.text, shape)
    if scrap and not (shape.offset and shape.take(line.text, None)):
        track.broken_off = line.number
    if starts:
        return
    if not shape.offset and shape.per_row not in WIDTHS:
        return
    # What a logger puts in front of all that it logs is no row's.
    front = re.match(shape.lead_pattern, line.text) if shape.offset else None
    start = front.end() if front else 0
    text = line.text[start : 8 * len(shape.lead) + 8 * shape.per_row + 64]
    size = 2 * shape.group
    groups = [m.removeprefix("0x") for m in _DIGITS.findall(text) if len(m) > 1]
    if size:
        # Numbers of another width are those of a message.
        odd = [m for m in groups if len(m) == size + 1]
        groups = [m for m in groups if len(m) == size or (len(m) == size + 1 and len(odd) <= _FEW)]
    digits = sum(len(m) for m in groups) // 2
    if not digits or track.complete:
        return
    row = digits >= max(4, shape.per_row // 2) and track.full and not track.chatter
    if (row or _ROW.fullmatch(line.text)) and all(
        d.about != "where the dump ends" for d in track.doubts
    ):
        track.doubts.append(
            Doubt(
                "where the dump ends",
                "before this line",
                "further on: the line is almost its next row",
                True,
                line.number,
            )
        )


def jumped(track: Track, line: Line) -> bool:
    """Whether the line is a later row of this dump, with octets lost between."""
    shape = track.shape
    if not shape.offset or track.expected is None or track.blanks > 1:
        return False
    taken = shape.take(line.text, None)
    if taken is None or taken.value is None:
        return False
    lost = (taken.value - track.expected) * shape.unit
    if not 0 < lost <= _MOST_JUMP * shape.per_row:
        return False
    if (taken.value - (track.first_value or 0)) * shape.unit % shape.per_row:
        return False
    if len(track.rows) == 1 and track.first_value != 0:
        return False
    about = "lost octets" if lost < shape.per_row else "lost lines"
    track.doubts.append(
        Doubt(
            about,
            f"{lost} octets that the offset column counts and no line prints, left out",
            "octets that were never there",
            True,
            line.number,
        )
    )
    track.doubtful.append((max(0, track.total - 1), track.total + 1))
    track.jumps += 1
    track.add(taken, line)
    return True


def loose(track: Track, reading: Reading, line: Line) -> bool:
    """Whether a row that the shape does not read goes on all the same: its offset says so."""
    shape = track.shape
    if not shape.offset or track.expected is None or reading.offset is None:
        return False
    text = reading.line[reading.offset[0] : reading.offset[1]]
    try:
        value = int(text, shape.base)
    except ValueError:
        return False
    if value != track.expected or reading.group != shape.group or reading.little != shape.little:
        return False
    if len(reading.octets) > shape.per_row:
        return False
    if shape.gutter and not reading.gutter:
        return False
    apart = reading.line[reading.offset[1] : reading.start] != shape.between
    if apart and track.complete:
        return False  # a few numbers behind a frame that is whole
    track.progressed += 1
    before = track.mark()
    track.glued = max(track.glued, glued(reading))
    if apart:
        track.loosened = line.number
    track.add(
        Taken(value, reading.octets, reading.columns, reading.ends, reading.gutter, True),
        line,
    )
    if not track.full:
        track.half = Half(line, before, len(track.rows))
    return True


def too_short(track: Track, text: str) -> bool:
    """Whether the last line of a cut log is too short to tell from the dump's next row."""
    return track.full and not track.chatter and not track.blanks and len(text) < track.length


def begun(track: Track, line: Line) -> None:
    """Remember a line that is no row of the dump, but may be the first part of one."""
    if track.half is None and track.full and not track.chatter and not track.closed:
        track.half = Half(line, track.mark(), len(track.rows))


def rejoined(track: Track, line: Line) -> bool:
    """Whether the line is the second part of a row: the two make one row that is whole.

    Between the parts stand the end of a line that a screen's width made, or another task's
    message, which may begin on the first part's line.
    """
    half = track.half
    if half is None or half.rows != len(track.rows) or not line.text:
        return False
    if line.start <= half.line.start:
        return False  # the very same line, which is looked at again
    shape = track.shape
    if shape.gutter is None and not any(c.isalnum() for c in line.text):
        # Marks alone are no part of a row: a fence, a bracket that closes.
        return False
    if shape.offset and shape.looks_whole(line.text):
        return False  # a row with an offset of its own: the first one of the next dump
    text = half.line.text
    room = max(track.length, len(text)) + 2
    if len(line.text) >= room or (not track.length and not track.known):
        return False
    m = _ROW.match(text, len(shape.lead) if text.startswith(shape.lead) else 0)
    edge = m.end() if m else 0
    stops = [len(text)]
    stops += [c for c in range(edge, max(0, edge - _MOST_BACK), -1) if c < len(text)]
    expected = half.before.expected
    for stop in stops:
        if not 0 < stop + len(line.text) <= room:
            continue
        whole = text[:stop] + line.text
        taken = shape.take(whole, expected)
        if taken is None or not _fits(track, half, taken):
            continue
        if taken.gutter is None and max(taken.columns) <= stop:
            continue  # nothing of the row stands in the second line
        track.back(half.before)
        first = track.total
        track.add(taken, put_together(half.line, stop, line), wrapped=False)
        if shape.offset:
            track.progressed += 1
        _say_joined(track, first, taken, stop, line)
        return True
    return False


def _fits(track: Track, half: Half, taken: Taken) -> bool:
    """Whether a row of two parts is as long as a row has to be."""
    n = len(taken.octets)
    if n == track.shape.per_row:
        return True
    if track.shape.offset:
        return True
    total = half.before.total + n
    own = wanted(b"".join(track.parts[:8]))
    return total in track.facts.claimed or (own is not None and total == max(own, SHORTEST))


def _say_joined(track: Track, first: int, taken: Taken, stop: int, line: Line) -> None:
    full = len(taken.octets) == track.shape.per_row
    sure = full and (
        track.shape.offset or taken.gutter is not None or track.total <= (track.claimed or 0)
    )
    sure = sure or track.claimed_reached
    if taken.gutter is None:
        # A list of numbers may hold as many octets as a row lacks, or more than the frame.
        rest = line.text[max(taken.ends) - 1 - stop :]
        joined = [o for o, c in zip(taken.octets, taken.columns, strict=True) if c > stop]
        more = track.total > (track.claimed or track.total) or are_numbers(bytes(joined))
        sure = sure and not (more or any(c.isalnum() for c in rest))
    track.doubts.append(
        Doubt(
            SPLIT_ROW,
            "one row, from two lines",
            "a row that ends where the first line ends",
            not sure,
            line.number,
        )
    )
    near = [k for k, c in enumerate(taken.columns) if abs(c - 1 - stop) <= 2]
    track.doubtful.extend((first + k, first + k + 1) for k in near)


def run_together(track: Track, line: Line) -> tuple[Line, Line] | None:
    """The two lines that stand in one: the dump's next row, and what follows it."""
    length = track.length
    if not length or not track.full or line.pieces or len(line.text) <= length + 1:
        return None
    if track.total >= MOST_OCTETS or not (track.shape.offset or track.shape.per_row in WIDTHS):
        return None
    taken = track.shape.take(line.text[:length], track.expected)
    if taken is None or len(taken.octets) != track.shape.per_row:
        return None
    then = track.shape.take(line.text[length:], None)
    if then is not None and track.shape.offset:
        if min(then.columns) != min(taken.columns):
            return None  # its offset column is not as wide: the row in front has some of it
    elif taken.gutter is None or taken.gutter.wrong:
        _unsure_end(track, taken, line.number)
    return taken_apart(line, length)


def _unsure_end(track: Track, taken: Taken, number: int) -> None:
    """The last digits of a row may be the first letters of what follows."""
    stop = track.total + len(taken.octets)
    track.doubtful.append((stop - max(1, min(track.shape.group, 4)), stop))
    track.glued = 2
    track.doubts.append(
        Doubt(
            BROKEN_DIGITS,
            "the row's last digits",
            "letters of the text that touches them",
            True,
            number,
        )
    )
