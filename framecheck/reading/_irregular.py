"""Signs of a broken console that a dump's own rows show, and that nothing else has explained.

One printer prints all digits in one case, one separator between octets, and nothing that touches
them. Where a row does not keep to that, its octets may still be right; but only a sum says so.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from framecheck.core.frame import BROKEN_DIGITS, FOREIGN_ROW, INTERLEAVED, Doubt
from framecheck.core.span import Range
from framecheck.core.text import Row
from framecheck.reading._facts import facts
from framecheck.reading._foreign import foreign_row
from framecheck.reading._steps import lost_between
from framecheck.reading._torn import begins_one_more, type_in_front
from framecheck.reading._track import ETHERTYPES, MOST_OCTETS, SHORTEST, Track
from framecheck.reading._uneven import LITERAL
from framecheck.reading._wanted import TAGS, bare, has_fcs, wanted
from framecheck.reading.traits.gutter import rendered

_ROW_END = "where the row ends"
FIRST = "first column"
"""What a doubt is about when the first group of a row may be an offset or octets."""
_FCS = 4
_TAG = 4
"""Octets of a tag, which padding may leave out of account (IEEE 802.3 3.2.7, from memory)."""
_BLANK = 0x20
_HEAD = 64
_MOST_LOST = 4
_NEAR = 4.0
_FEW_FOREIGN = 4
_LINK = 14
_SOURCE = 6
_LLC = 3
"""Octets of what stands behind a length, at least."""
_OCTET = r"(?:0[xX])?[0-9A-Fa-f]{2}(?![0-9A-Za-z])"
_ADDRESS = re.compile(r"([:\-])[0-9A-Fa-f]{2}\1[0-9A-Fa-f]{2}").match
_CLOSING = "()[]{}<>'\",;| \t"
_OPENERS, _CLOSERS = "([{", (")", "]", "}")
FEW_LACK = 8
_MOST_MISCOUNTED = 16
_MOST_BEHIND = 12
"""Octets that a device leaves behind a frame without a word: FCS, status, rounding."""
_FEW = 2
"""Letters of the other case that are a fault and no habit."""


def whole(track: Track, octets: bytes, more: int = 0) -> bool:
    """Whether a dump has exactly the octets that a line announces or that its header states.

    ``more``: so many octets behind its last one are counted as well.
    """
    total = track.total + more
    own = wanted(octets)
    if track.facts.claimed:
        return total in track.facts.claimed and (own is None or own <= total)
    if own is None:
        if bare(octets) == total:
            return True
        length = int.from_bytes(octets[12:14], "big")
        if length < _LLC:
            return False
        own = _LINK + length
    padded = max(own, SHORTEST)
    if total in (own, padded):
        return True
    tagged = octets[12:14] in TAGS and own < total == SHORTEST + _TAG
    return tagged or (total == padded + _FCS and (not track.behind_broken or has_fcs(octets)))


def words_behind(track: Track) -> bool:
    """Whether words that say nothing of a frame stand behind the octets of the only row.

    They may be of a line whose front is lost with the digits in front of it, if no dump before had
    words there.
    """
    lone = len(track.rows) == 1 and not (track.shape.offset or track.block or track.in_pieces)
    if not (lone and track.behind) or track.usual_end is not None:
        return False
    behind = track.text[max(track.rows[0].ends) - 1 :]
    about = facts(behind)
    return behind[:2].strip().isalpha() and not (about.claimed or about.frame)


def looks_like_octets(track: Track) -> bool:
    """Whether what was taken for the offset of the only row looks like one group more."""
    shape = track.shape
    if not shape.offset or len(track.rows) > 1 or shape.between not in shape.gaps:
        return False
    return shape.offset_digits == 2 * shape.group


def _touches_offset(track: Track) -> bool:
    """Whether what was taken for the offset of the only row touches it, and may be an octet."""
    shape = track.shape
    lone = shape.offset and len(track.rows) == 1 and not track.block
    lone = lone and (not shape.gaps or shape.offset_digits == 2 * shape.group)
    return lone and shape.between == shape.between.strip()


def _blank_in_front(track: Track, octets: bytes) -> bool:
    """Whether the only row begins as one cut off at its front, and lacks octets there."""
    shape = track.shape
    if len(track.rows) > 1 or shape.offset or track.block or shape.lead not in shape.gaps:
        return False
    return track.at_top or from_group(octets) or better_behind_more(track, octets)


def _number_in_front(track: Track) -> str:
    """What is said of an offset of the only row that is nearly as many as its octets."""
    value = track.first_value
    if not (value and track.facts.frame) or track.block:
        return ""
    text = f"{value:x}"
    near = text.isdigit() and 0 < abs(int(text) - track.total) <= _MOST_MISCOUNTED
    return f"the {text} of the number in front" if near else ""


def from_group(octets: bytes) -> bool:
    """Whether the source is a group address (IEEE 802.3 3.2.4, from memory: it never is)."""
    return len(octets) > _SOURCE and bool(octets[_SOURCE] & 1)


def irregular(track: Track, octets: bytes, at_edge: bool) -> tuple[list[Doubt], list[Range]]:
    """Doubts that a dump's own rows give, and the octets that they make doubtful.

    ``at_edge``: the log ends where the dump may go on.
    """
    doubts: list[Doubt] = []
    letters = [] if track.block else _other_case(track)
    if letters:
        row = next(r for r in reversed(track.rows) if r.first <= letters[0])
        taken = f"{len(letters)} digits of another case, as printed"
        doubts.append(
            _doubt(BROKEN_DIGITS, taken, "other digits: all the rest is of one case", row.line)
        )
    dotted = _dotted(track)
    if dotted:
        row = next(r for r in reversed(track.rows) if r.first <= dotted[0])
        taken, other = "blanks that a dot stands for", "others: elsewhere a blank does"
        doubts.append(_doubt("gutter against octets", taken, other, row.line))
    complete = whole(track, octets)
    if track.doubts and any(d.about == INTERLEAVED and d.decides for d in track.doubts):
        # The end may be the other dump's, whose length was announced as well.
        own = wanted(octets)
        more = own is not None and own < track.total and track.total != SHORTEST
        if more and own is not None:
            track.doubtful.append((own, track.total))
    foreign = foreign_row(track, octets)
    if foreign:
        other = f"one of something else: {foreign}"
        row = track.rows[-1]
        doubts.append(_doubt(FOREIGN_ROW, "the last row as one of the dump", other, row.line))
    doubts += _in_any_case(track, octets, complete)
    if not complete and track.total < MOST_OCTETS:
        doubts += _unless_whole(track, octets, at_edge)
    elif track.broken_off and track.total < SHORTEST:
        doubts.append(_padding_lost(track.broken_off))
    late = lost_between(track) if not complete or track.total < SHORTEST else None
    if late:
        doubts.append(late)
    # Digits that something touches may be its digits.
    touched = [len(octets) - 1] if doubts and _runs_in(track, doubts) else []
    ranges = [(k, k + 1) for k in (*letters, *dotted, *touched)]
    return doubts, [*ranges, (track.rows[-1].first, track.total)] if foreign else ranges


def _in_any_case(track: Track, octets: bytes, complete: bool) -> Iterator[Doubt]:
    """Signs that a length which fits does not clear: one octet more may stand for one less."""
    line = track.rows[0].line
    if track.skipped:
        other = "those of the line, which holds part of a row like these"
        yield _doubt("lost octets", "none, and this line left out", other, track.skipped)
    if _doubled_row(track):
        other = "two rows that run together: the others have half as many octets"
        yield _doubt("where octets begin", "one row", other, line)
    front = 0 if track.front and _same_front(track) else track.front
    if front == 3 and bare(octets) == track.total:
        front = 2
    if front in (1, 4):
        # A word, or a number of the line: it takes more than that to doubt the octets.
        datagram = bare(octets) == track.total or not (complete or track.begins(octets))
        # A frame that is shorter than its own header says may be as long as the log announced.
        announced = complete or track.claimed_reached
        misplaced = from_group(octets) or better_behind_more(track, octets) or _early_tag(octets)
        datagram = datagram or (misplaced and not track.claimed_reached)
        front = 2 if datagram or (front == 4 and (line == 1 or not announced)) else 1
    if track.odd_lead and len(track.rows) == 1 and not (complete or track.begins(octets)):
        front = 2
    if front == 2 or (not complete and (front > 2 or (front and _one_lost(track, octets)))):
        other = "further in front: digits of more octets stand there"
        yield _doubt("where the row starts", "at its first octet", other, line)
    first = looks_like_octets(track) and not track.claimed_reached
    first = first or (not complete and _touches_offset(track))
    if first and all(d.about != FIRST for d in track.doubts):
        yield _doubt(FIRST, "offset", "octets", line)
    if type_in_front(track, octets):
        other = "further in front: the type of the datagram stands there"
        yield _doubt("where the row starts", "at its first octet", other, line)
    if (not complete or from_group(octets)) and _blank_in_front(track, octets):
        other = "further in front: the line begins with what parts octets"
        yield _doubt("where the row starts", "at its first octet", other, line)
    number = _number_in_front(track) if track.shape.offset and len(track.rows) == 1 else ""
    if number:
        yield _doubt("length", f"the {track.total} octets that are printed", number, line)
    if _touches_more(track, octets, complete):
        other = "elsewhere: what follows touches its digits"
        yield _doubt(_ROW_END, f"behind {len(octets)} octets", other, line)
    inside = track.lines[-1].dropped or _no_gutter(track) or _ends_open(track, octets)
    if inside and not _cut(track, octets):
        yield _ends_inside(track)


def _one_more(track: Track) -> bool:
    """Whether an octet more stands behind those of the second row, parted from them as they are."""
    shape = track.shape
    if len(track.rows) < 2 or track.block or track.in_pieces or shape.gutter or shape.group != 1:
        return False
    behind = track.texts[1][max(track.rows[1].ends) - 1 :]
    if not (behind and shape.gaps):
        return False
    return re.match(re.escape(shape.gaps[0]) + _OCTET, behind) is not None


def _address_behind(track: Track) -> bool:
    """Whether the last row's digits run into an address, whose first octet they may be."""
    if track.shape.gutter or track.block or track.in_pieces:
        return False
    behind = track.texts[-1][max(track.rows[-1].ends) - 1 :]
    return bool(behind) and _ADDRESS(behind) is not None


def _touches_more(track: Track, octets: bytes, complete: bool) -> bool:
    """Whether what stands behind the octets of a row may be, or hide, one more of them."""
    glued = track.glued
    if len(track.rows) > 1 and _address_behind(track):
        return True
    if complete and not glued and track.total >= SHORTEST and len(track.rows) > 1:
        return _one_more(track)
    if glued > 2 or _runs_on(track, octets) or _one_more(track):
        return True
    if (glued == 2 and _by_padding(track, octets)) or _rest_of_padding(track, octets):
        return True
    one_more = glued > 0 and whole(track, octets, 1)
    if complete:
        return one_more and track.total + 1 == SHORTEST
    more = glued == 2 or track.digits_behind or _fits_tail(track, octets)
    more = more or _two_lines(track, octets)
    return more or one_more or _touched(track)


def _by_padding(track: Track, octets: bytes) -> bool:
    """Whether a dump has no other length than the least of a frame, which a tag may lengthen."""
    own = wanted(octets)
    return own is not None and own < track.total and not track.claimed_reached


def _rest_of_padding(track: Track, octets: bytes) -> bool:
    """Whether a frame lacks its padding, and groups of digits that may be it stand behind it."""
    lack = SHORTEST - track.total
    return 0 < lack <= track.pairs_behind + 1 and wanted(octets) == track.total


def _touched(track: Track) -> bool:
    """Whether something stands behind the last row's digits, but not behind those of the first."""
    if len(track.rows) < 2 or track.block or track.shape.gutter or track.in_pieces:
        return False
    if not track.ended:
        return False  # the log's end left part of an octet
    behind = [track.texts[k][max(track.rows[k].ends) - 1 :].strip(_CLOSING) for k in (0, -1)]
    return bool(behind[1]) and not behind[0]


def _runs_in(track: Track, doubts: Sequence[Doubt]) -> bool:
    """Whether it is doubted where the row ends, because of what touches the last one."""
    if len(track.rows) == 1:
        return track.glued > 2
    return any(d.about == _ROW_END for d in doubts) and _touched(track)


def better_behind_more(track: Track, octets: bytes) -> bool:
    """Whether a few octets more in front, whatever they are, would make a better frame."""
    if track.content is None:
        return False
    head = octets[:_HEAD]
    said = max(track.content(bytes(k) + head) for k in range(1, _MOST_LOST + 1))
    return said > track.content(head) + _NEAR


def _early_tag(octets: bytes) -> bool:
    """Whether a tag and the type behind it stand a few octets in front of their place."""
    return any(
        octets[12 - k : 14 - k] in TAGS and octets[16 - k : 18 - k] in ETHERTYPES
        for k in range(1, _MOST_LOST + 1)
    )


def _same_front(track: Track) -> bool:
    """Whether the very same text stands in front of all rows: no octets of a frame do that."""
    if len(track.rows) < 2 or track.in_pieces:
        return False
    fronts = zip(track.texts, track.rows, strict=True)
    return len({text[: min(row.columns) - 1] for text, row in fronts}) == 1


def _unless_whole(track: Track, octets: bytes, at_edge: bool) -> Iterator[Doubt]:
    """Signs that say something only of a dump that its lengths do not call whole."""
    last = track.rows[-1].line
    if track.apart:
        yield track.apart[0]
    if track.broken:
        other = "more or fewer: the frame is not whole"
        yield _doubt("lost octets", "as many as broken rows still show", other, last)
    if len(track.rows) == 1 and any(d.about == BROKEN_DIGITS for d in track.doubts):
        other = "elsewhere: digits of it are broken, and no length says"
        yield _doubt(_ROW_END, f"behind {len(octets)} octets", other, last)
    if track.loosened:
        other = "further on: what parts offset and octets is another than in the rows before"
        yield _doubt("where octets begin", "as printed behind the offset", other, track.loosened)
    if track.broken_off:
        other = "further on: the line holds part of a row like these"
        yield _doubt("where the dump ends", "before this line", other, track.broken_off)
    if at_edge and _short(octets):
        yield _ends_inside(track)
    if len(octets) == _LINK and len(track.rows) == 1 and track.behind and _short(octets):
        other = "further on: what its type announces stands elsewhere"
        yield _doubt("where the dump ends", "behind its link header", other, last)
    if _closed_early(track, octets):
        other = "further on: a bracket closes it here that was opened on a line of its own"
        yield _doubt("where the dump ends", f"behind {len(octets)} octets", other, last)
    if _empty_cell(track):
        other = "further on: what parts octets stands there once more than behind other rows"
        yield _doubt("where the dump ends", f"behind {len(octets)} octets", other, last)
    if _other_mark(track) or (_short(octets) and words_behind(track)):
        other = "further on: something else stands there than behind the end of a dump before"
        yield _doubt("where the dump ends", f"behind {len(octets)} octets", other, last)
    if _other_end(track) or _cut_row(track, octets):
        other = "further on: a blank stands there that no other row has"
        yield _doubt("where the dump ends", f"behind {len(octets)} octets", other, last)
    if _indented(track, octets):
        other = "further in front: the row begins with what parts octets, as no other does"
        yield _doubt("where the row starts", "at its first octet", other, last)
    if _first_of_more(track, octets):
        other = "further on: other dumps in the same layout have more rows"
        yield _doubt("where the dump ends", f"behind {len(octets)} octets", other, last)
    if any(d.about == INTERLEAVED for d in track.doubts):
        other = "elsewhere: another dump is printed at the same time"
        yield _doubt("where the dump ends", f"behind {len(octets)} octets", other, last)


def _empty_cell(track: Track) -> bool:
    """Whether a mark between octets stands behind the last row more often than behind the first.

    Behind the only row it stands once at most, where a list goes on.
    """
    shape = track.shape
    mark = shape.gaps[0].strip()[:1] if shape.gaps else ""
    if not mark or mark.isalnum() or track.block or track.in_pieces or shape.gutter:
        return False
    if begins_one_more(track):
        return True
    ends = [
        text[max(row.ends) - 1 :][: 2 * len(shape.gaps[0])].count(mark)
        for text, row in zip(track.texts[::-1], track.rows[::-1], strict=True)
    ]
    return ends[0] > (ends[-1] if len(ends) > 1 else 1)


def _indented(track: Track, octets: bytes) -> bool:
    """Whether octets lack, and the last row stands behind other blanks than the one above."""
    if len(track.rows) < 2 or track.shape.offset or track.block or track.in_pieces:
        return False
    if not _cut(track, octets) and track.total >= SHORTEST:
        return False
    above, last = (track.texts[k][: min(track.rows[k].columns) - 1] for k in (-2, -1))
    return above != last and above.strip() == last.strip()


def _first_of_more(track: Track, octets: bytes) -> bool:
    """Whether octets lack behind one full row, where dumps of its shape have had several."""
    shape = track.shape
    if len(track.rows) > 1 or not track.full or shape.offset or shape.most_rows < 2:
        return False
    lacks = _cut(track, octets) or (wanted(octets) is None and octets[12:14] in ETHERTYPES)
    return lacks and not track.claimed_reached


def _padding_lost(line: int) -> Doubt:
    other = "further on: the line may hold padding"
    return _doubt("where the dump ends", "before this line", other, line)


def _doubt(about: str, taken: str, other: str, line: int) -> Doubt:
    return Doubt(about, taken, other, True, line)


def _cut(track: Track, octets: bytes) -> bool:
    """Whether the frame's own length says that it is cut."""
    own = wanted(octets)
    return own is not None and own > len(octets)


def _ends_inside(track: Track) -> Doubt:
    taken = f"behind {track.total} octets, with the log"
    other = "further on: the log ends inside it"
    return _doubt("where the dump ends", taken, other, track.rows[-1].line)


def _no_gutter(track: Track) -> bool:
    """Whether the log's last line ends in front of the gutter that all rows have."""
    if track.ended or track.shape.gutter is None:
        return False
    return not track.texts[-1][max(track.rows[-1].ends) - 1 :].strip()


def _cut_row(track: Track, octets: bytes) -> bool:
    """Whether octets lack, and the last row ends with what parts octets, as no other does.

    Some printers part octets and rows in this way; where a dump before did, it is their habit.
    """
    own, total = wanted(octets), len(octets)
    lacks = own is not None and (own < total < SHORTEST or total < own)
    if not lacks or track.shape.gutter is not None or track.usual_end is not None:
        return False
    ends = [text[len(text.rstrip()) :] for text in track.texts[-2:]]
    return ends[0] == "" != ends[-1] and ends[-1] in track.shape.gaps


def _ends_open(track: Track, octets: bytes) -> bool:
    """Whether the log ends behind what parts octets, where padding may go on."""
    text, other = track.texts[-1], track.texts[0]
    blanks = text[len(text.rstrip()) :]
    if track.ended or not blanks or track.total >= _least(octets):
        return False
    return len(track.rows) == 1 or not other.endswith(blanks)


def _closed_early(track: Track, octets: bytes) -> bool:
    """Whether octets lack, and a bracket stands behind the last that no row opened."""
    own = wanted(octets)
    if own is None or own <= track.total or len(track.rows) < 2 or track.block:
        return False
    behind = track.texts[-1][max(track.rows[-1].ends) - 1 :].strip()
    return behind[:1] in _CLOSERS and not any(c in _OPENERS for c in track.texts[0])


def _doubled_row(track: Track) -> bool:
    """Whether the first row of a dump has twice as many octets as the next one."""
    sizes = [len(part) for part in track.parts[:2]]
    return len(track.parts) > 2 and not track.block and sizes[0] == 2 * sizes[1]


def short_end(track: Track) -> str | None:
    """The blanks behind a last row that is short, or the only one; None where they say nothing."""
    if track.shape.gutter is not None or track.block or track.in_pieces or not track.ended:
        return None
    if track.full and len(track.rows) > 1:
        return None
    text = track.texts[-1]
    return text[len(text.rstrip()) :]


def _other_end(track: Track) -> bool:
    """Whether the last, short row ends in other blanks than that of a dump before."""
    end = short_end(track)
    return end is not None and track.usual_end is not None and end != track.usual_end


def end_mark(track: Track) -> str:
    """The mark behind the last octet, as of a list's element; ``a`` for a word, or nothing."""
    mark = track.texts[-1][max(track.rows[-1].ends) - 1 :].lstrip()[:1]
    return "a" if mark.isalnum() else mark


def _other_mark(track: Track) -> bool:
    """Whether another mark, or a word, than behind a dump before stands behind a short row."""
    usual = track.usual_mark
    return usual is not None and short_end(track) is not None and end_mark(track) != usual


def _two_lines(track: Track, octets: bytes) -> bool:
    """Whether a string of one line is so much longer than its frame that another's is behind it."""
    own = wanted(octets)
    if len(track.rows) > 1 or track.shape.gaps or track.facts.claimed or own is None:
        return False
    rest = octets[max(own, SHORTEST) :]
    return len(rest) > _MOST_BEHIND and any(rest)


def _runs_on(track: Track, octets: bytes) -> bool:
    """Whether the last octets of padding are none, and go on in what stands behind."""
    padding = octets[wanted(octets) or SHORTEST : SHORTEST]
    foreign = len(padding.lstrip(b"\0"))
    if len(track.rows) > 1 or not 0 < foreign < len(padding):
        return False
    few = foreign <= _FEW_FOREIGN
    more = track.total > SHORTEST + _FCS * has_fcs(octets)
    return track.total > SHORTEST + _FCS or (few and (track.glued > 0 or more))


def _fits_tail(track: Track, octets: bytes) -> bool:
    """Whether the octets that a dump of one line lacks may be what stands behind it, broken."""
    own = wanted(octets)
    if len(track.rows) > 1 or track.gutter_rows or own is None or track.shape.group != 1:
        return False
    lack = own - len(octets)
    return 0 < lack <= FEW_LACK and track.tail >= 3 * lack - 1


def _one_lost(track: Track, octets: bytes) -> bool:
    """Whether one octet in front would make the dump whole."""
    return track.total == SHORTEST - 1 or whole(track, b"\0" + octets, 1)


def _short(octets: bytes) -> bool:
    """Whether a frame ends inside its first header, or inside the padding that it has to have."""
    own = wanted(octets)
    if own is None:
        # Behind 14 octets a type asks for more, and the frame is cut by its own table.
        return octets[12:14] in ETHERTYPES and len(octets) < SHORTEST
    return own < len(octets) < _least(octets)


def _least(octets: bytes) -> int:
    """The most octets that a frame is padded to: with a tag, or as if it had none."""
    return SHORTEST + _TAG * (octets[12:14] in TAGS)


def _dotted(track: Track) -> list[int]:
    """The few octets 20 that the gutter shows as a dot, in a dump that shows others as a blank."""
    gutter = track.shape.gutter
    if gutter is None or gutter.gaps or track.block or track.in_pieces or not track.odd_gutter:
        return []
    dots: list[int] = []
    blanks = at = 0
    ends: Sequence[int] = ()
    for row, part, text in zip(track.rows, track.parts, track.texts, strict=True):
        if _BLANK not in part or len(part) < track.shape.per_row:
            # The gutter of a short row stands below the others', or anywhere.
            if at and _BLANK in part and text.startswith(rendered(part), at):
                blanks += part.count(_BLANK)
            continue
        if row.ends is not ends:  # rows in the same columns share them
            ends = row.ends
            at = max(ends) - 1 + len(track.shape.opening)
        if text.startswith(rendered(part), at):
            blanks += part.count(_BLANK)
            continue
        for k, octet in enumerate(part):
            if octet == _BLANK and text[at + k : at + k + 1] == ".":
                dots.append(row.first + k)
            elif octet == _BLANK:
                blanks += 1
    return dots if blanks and len(dots) <= _FEW else []


def _other_case(track: Track) -> list[int]:
    """Octets with the few letters that are not of the case of all others."""
    if track.shape.notation == LITERAL or not track.letters:
        return []
    lines = "\n".join(track.texts)
    if lines == lines.lower() or lines == lines.upper():
        return []  # not even what stands around the digits has both cases
    text = _digits(track)
    if text == text.lower() or text == text.upper():
        return []
    found: dict[bool, list[int]] = {True: [], False: []}
    for row, line in _printed(track):
        for k, (a, b) in enumerate(zip(row.columns, row.ends, strict=True)):
            for c in line[a - 1 : b - 1]:
                if c.isalpha():
                    found[c.isupper()].append(row.first + k)
    fewer, more = sorted(found.values(), key=len)
    return sorted(set(fewer)) if len(fewer) <= _FEW and len(more) >= 3 * len(fewer) else []


def _digits(track: Track) -> str:
    """What stands from the first digit of each row to its last."""
    parts = []
    columns: Sequence[int] = ()
    first = last = 0
    for row, text in zip(track.rows, track.texts, strict=True):
        if row.columns is not columns:  # rows in the same columns share them
            columns = row.columns
            first, last = min(columns) - 1, max(row.ends) - 1
            if len(columns) > 1 and columns[0] == columns[-1]:
                last = first  # a repeat marker stands for it
        parts.append(text[first:last])
    return "".join(parts)


def _printed(track: Track) -> Iterator[tuple[Row, str]]:
    """Rows with their lines, but for those that a repeat marker stands for."""
    for row, text in zip(track.rows, track.texts, strict=True):
        if len(row.columns) < 2 or row.columns[0] != row.columns[-1]:
            yield row, text
