"""Two dumps close together that may be one: the octets of a frame go on behind what broke it."""

from __future__ import annotations

from typing import NamedTuple

from framecheck.core.frame import INTERLEAVED, Doubt
from framecheck.reading._block import look
from framecheck.reading._finish import Finished
from framecheck.reading._irregular import looks_like_octets, whole
from framecheck.reading._scraps import has_run, is_cells, is_scrap, only_octets
from framecheck.reading._shape import Shape
from framecheck.reading._torn import goes_on
from framecheck.reading._track import ETHERTYPES, SHORTEST, STRONG, WIDTHS, Content, Track
from framecheck.reading._wanted import TAGS, wanted

NEAR = 6
"""Lines between the parts of a frame: a message of another task is not longer."""
ENDS = "where the dump ends"
_FEW = 2
_FEW_LINES = 3
"""Lines up to a dump that is printed among the rows of another: titles stand between."""
_FEWEST = 8
"""Octets of a row that are more than a device's status."""
_HEADERS = (14, 18)
"""Octets of a link header: what follows one is its datagram, not another frame."""
_CLOSE = 2
"""Lines between dumps whose rows may stand among each other."""


class Parted(NamedTuple):
    """What is said of two dumps that may be parts of one frame."""

    before: Doubt
    behind: Doubt | None


def unfinished(done: Finished) -> bool:
    """Whether what stands behind a dump may be of its frame: its lengths do not say it is whole."""
    if done.dump is None or done.dump.at_edge:
        return False
    short = done.track.total < SHORTEST or not whole(done.track, done.dump.octets)
    return short or _in_rows(done.track)


def patience(held: Finished) -> int:
    """Lines behind a dump in which more of its frame may stand; 0: only the very next one."""
    if held.dump is None or held.track.total < SHORTEST:
        return NEAR
    return 0 if whole(held.track, held.dump.octets) else NEAR


def is_far(held: Finished, number: int) -> bool:
    """Whether a line is too far behind a dump to hold more of its frame."""
    return number - last_line(held.track) > patience(held)


def _in_rows(track: Track) -> bool:
    """Whether nothing but their order says which rows are whose."""
    shape = track.shape
    rows = not shape.offset and not track.block and len(track.rows) > 1
    return rows and shape.per_row in WIDTHS and shape.per_row >= _FEWEST


def like(one: Shape, other: Shape) -> bool:
    """Whether two rows are printed in the same way, as wide as they are."""
    same = one.lead_pattern == other.lead_pattern and one.gaps == other.gaps
    return same and one.group == other.group


def _orphan(held: Finished, new: Finished, content: Content | None) -> tuple[Finished, Finished]:
    """A row that begins nothing right behind a dump that is whole: one of the two is not its own.

    A sum that holds over the octets says that it is not the dump's.
    """
    first, second, dump = held.track, new.track, held.dump
    a, b = first.shape, second.shape
    # One string alone may be a digest.
    row = like(a, b) and (bool(b.gaps) or len(second.rows) > 1)
    row = row and not b.offset and len(second.parts[0]) == a.per_row
    start = second.rows[0].line
    if not row or not _in_rows(first) or start - last_line(first) != 1 or dump is None:
        return held, new
    if content is None or content(second.octets) >= STRONG:
        return held, new
    doubt = Doubt(INTERLEAVED, "rows of one dump", "rows of another one", True, start)
    # A sum of the datagram covers no link header.
    tagged = dump.octets[12:14] in TAGS
    begin = max(a.per_row, _HEADERS[tagged])
    stop = max(begin + 1, min(first.total, wanted(dump.octets) or first.total))
    doubtful = (*dump.doubtful, (begin, stop))
    held = _said(held._replace(dump=dump._replace(doubtful=doubtful)), doubt)
    return held, _said(new, _starts_behind(start))


def beside(held: Finished, new: Finished, content: Content | None) -> tuple[Finished, Finished]:
    """Two dumps, each with a doubt when they may be parts of one frame."""
    if new.dump is not None and new.track.rows[0].line < held.track.rows[0].line:
        # It waited for more rows while the other one was read.
        new, held = beside(new, held, content)
        return held, new
    if held.track.total >= SHORTEST and not patience(held):
        return _orphan(held, new, content)
    found = parted(held, new, content)
    start = new.track.rows[0].line
    weak = held.track.block and content is not None and content(new.track.octets) < STRONG
    if found is None and (new.dump is None or weak):
        return torn(held, new.track.text, start), new
    behind = found and found.behind
    if found is not None:
        held = _said(held, found.before)
    elif held.dump is not None and not whole(new.track, new.track.octets):
        # The line that may be its next row is the first one here.
        same = any(d.about == ENDS and d.decides and d.line == start for d in held.dump.doubts)
        behind = _starts_behind(start) if same else None
    if new.dump is not None and behind and not any(d.decides for d in new.dump.doubts):
        new = new._replace(dump=new.dump._replace(doubts=(*new.dump.doubts, behind)))
    return held, new


def torn(held: Finished, text: str, number: int) -> Finished:
    """The dump, doubted when the line right behind it holds part of a row like its own."""
    far = number - last_line(held.track)
    if not 0 < far <= patience(held):
        return held
    if held.track.block:
        like = _lacks_octets(held) and look(text) in {look(row) for row in held.track.texts[-3:]}
        like = like or (held.dump is not None and goes_on(held.dump.octets, text))
        return _said(held, _ends_before(number)) if like else held
    shape = held.track.shape
    half = max(3, shape.per_row // (2 * max(1, shape.group)))
    found = is_cells(text, shape) or has_run(text, shape, half)
    found = is_scrap(text, shape) if far == 1 else found or lacks(held, text)
    return _said(held, _ends_before(number)) if found else held


def _lacks_octets(held: Finished) -> bool:
    """Whether a dump has fewer octets than its own header says."""
    own = wanted(held.dump.octets) if held.dump is not None else None
    return own is not None and own > held.track.total


def lacks(held: Finished, text: str) -> bool:
    """Whether a line is nothing but octets, not more than a dump lacks by its lengths."""
    octets = only_octets(text)
    own = wanted(held.dump.octets if held.dump else b"") or 0
    if own and own <= held.track.total < SHORTEST and not text.strip(" 0x,:"):
        own = SHORTEST  # padding is zeros
    return 0 < octets <= max(own, *held.track.facts.claimed, 0) - held.track.total


def _said(held: Finished, doubt: Doubt) -> Finished:
    dump = held.dump
    if dump is None or any(d.about == doubt.about for d in dump.doubts):
        return held
    return held._replace(dump=dump._replace(doubts=(*dump.doubts, doubt)))


def _starts_behind(number: int) -> Doubt:
    return Doubt(
        "where the dump starts",
        "at its first line",
        "further up: a frame that is not whole stands there in the same layout",
        True,
        number,
    )


def _ends_before(number: int) -> Doubt:
    return Doubt(
        ENDS,
        "before this line",
        "further on: octets in the same layout stand there",
        True,
        number,
    )


def last_line(track: Track) -> int:
    """The last line of the log that belongs to a dump."""
    pieces = track.lines[-1].pieces
    return pieces[-1].number if pieces else track.rows[-1].line


def parted(held: Finished, new: Finished, content: Content | None) -> Parted | None:
    """What two dumps say of each other when the second one may be the rest of the first."""
    first, second = held.track, new.track
    end, start = last_line(first), second.rows[0].line
    if not 0 <= start - end <= NEAR or not _alike(first, second, new.dump is None):
        close = start - end == 1 and new.dump is not None and not second.shape.offset
        if not close or not set(first.shape.gaps) & set(second.shape.gaps):
            return None
    if _has_its_row(held, new):
        return Parted(_ends_before(start), _starts_behind(start))
    if held.dump is None or whole(first, held.dump.octets):
        return None
    counted = second.shape.offset and not looks_like_octets(second)
    if counted:
        unsure = new.dump is not None and any(d.decides for d in new.dump.doubts)
        if not second.first_value and (first.full or not unsure or start - end > 1):
            return None
        if second.first_value and second.first_value == first.first_value:
            return None  # the count begins anew
    elif content is None:
        return None
    elif (
        first.total not in _HEADERS
        and _begins(second.octets, content, start - end == 1)
        and not _lacks_just(held, second)
        and not _headless(first, new)
    ):
        if not _mixed(first, new) or start - end > _CLOSE:
            return None
    elif second.claimed_reached and second.claimed != first.claimed:
        cut_off = first.full and content(first.octets) >= STRONG > content(second.octets)
        if not cut_off:
            return None
    weak = not counted and content is not None and content(second.octets) < STRONG
    return Parted(
        _ends_before(start),
        _starts_behind(start)
        if new.dump is None
        or weak
        or first.total in _HEADERS
        or _lacks_just(held, second)
        or not whole(second, new.dump.octets)
        else None,
    )


def _has_its_row(held: Finished, new: Finished) -> bool:
    """Whether a dump lacks a row as long as the last one of another, which has it too many."""
    if held.dump is None or new.dump is None or len(new.track.parts) < 2:
        return False
    last = len(new.track.parts[-1])
    own, other = wanted(held.dump.octets), wanted(new.dump.octets)
    if own is None or last >= new.track.shape.per_row:
        return False
    if max(own, SHORTEST) - held.track.total != last:
        return False
    lines = new.track.rows[0].line - last_line(held.track)
    close = lines == 1 or (lines <= _FEW_LINES and not whole(new.track, new.dump.octets))
    if close and not new.track.shape.offset and not any(new.track.parts[-1]):
        return True  # padding
    if other is None:
        return False
    fits = new.track.total - last >= max(other, SHORTEST)
    return fits and not whole(new.track, new.dump.octets)


def _lacks_just(held: Finished, second: Track) -> bool:
    """Whether a dump lacks as many octets as another has, or that one is not even a header."""
    own = wanted(held.dump.octets if held.dump else b"")
    lack = 0 if own is None else own - held.track.total
    return lack == second.total or 0 < second.total <= min(lack, _HEADERS[-1])


def _begins(octets: bytes, content: Content, close: bool) -> bool:
    """Whether a frame begins here; right behind another one's rows only with a sure header."""
    bits = content(octets)
    sure = octets[12:14] in ETHERTYPES or octets[:1] in (b"E", b"`") or octets[:2] == b"\x01\x80"
    return bits >= STRONG if sure else bits >= 2 * STRONG and not close


def _headless(first: Track, new: Finished) -> bool:
    """Whether no header at a dump's front states a length, and one of the two is broken anyway.

    A frame of one row is no more than a header with a few octets.
    """
    dump = new.dump
    if dump is None or wanted(dump.octets) is not None:
        return False
    row = len(first.rows) == 1 and first.total < SHORTEST and first.shape.per_row in WIDTHS
    return row or any(d.decides for d in dump.doubts)


def _mixed(first: Track, new: Finished) -> bool:
    """Whether rows of two dumps may stand among each other: neither has as many as it should."""
    rows = first.full and first.shape.per_row in WIDTHS and len(new.track.rows) > 1
    return rows and new.dump is not None


def _alike(first: Track, second: Track, chatter: bool) -> bool:
    """Whether the cells of two dumps look the same."""
    a, b = first.shape, second.shape
    if second.block or (b.offset and not a.offset and not looks_like_octets(second)):
        return False
    if chatter and (second.behind or second.total < _FEW or a.lead_pattern != b.lead_pattern):
        return False
    marks, others = set(a.gaps), set(b.gaps)
    if not marks or not others:
        # One group alone: packed rows, or the last octets of a row.
        return not marks or b.group == a.group
    return b.group in (a.group, 1) and bool(marks & others)
