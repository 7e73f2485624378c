"""The end of a dump: which reading wins, which octet order, and whether it is a dump at all."""

from __future__ import annotations

from operator import attrgetter
from typing import Literal, NamedTuple

from framecheck.core.frame import BROKEN_DIGITS, Doubt, Dump
from framecheck.core.span import Range, common
from framecheck.core.text import Places, Row
from framecheck.reading._each_row import said_of_rows
from framecheck.reading._evidence import CLOSE, ENOUGH, is_fill, text_evidence, words
from framecheck.reading._habits import foreign_characters, inside_a_literal, part_number
from framecheck.reading._irregular import (
    FIRST,
    from_group,
    irregular,
    whole,
    words_behind,
)
from framecheck.reading._lengths import length_doubt
from framecheck.reading._parse import gutter_text
from framecheck.reading._shape import Shape, turned, turned_columns
from framecheck.reading._track import (
    ETHERTYPES,
    MOST_OCTETS,
    SHORTEST,
    STRONG,
    WIDTHS,
    Content,
    Track,
)
from framecheck.reading._uneven import UNEVEN
from framecheck.reading._wanted import bare, wanted

_SIZE, _DROPPED = attrgetter("size"), attrgetter("dropped")
_NEAR = 4.0
"""Bits within which two readings of a row are both said."""


_NIBBLES = bytes((i << 4 | i >> 4) & 0xFF for i in range(256))
_REVERSED = bytes(int(f"{i:08b}"[::-1], 2) for i in range(256))
_BEYOND = 24.0
"""Bits of content from which words near by decide nothing."""
_SURE = 12.0
"""Bits of content in one octet order from which the other is not looked at."""
_PACKED = (8, 16, 32)
"""Octets of a row of words that nothing parts."""
_WORDS = (2, 4, 8)
_HEADER = 14
_FCS = 4
_ARP = b"\0\x01"
"""What ARP begins with where no link header stands in front: Ethernet (RFC 826)."""
_TYPES = b"\x06\x00"
"""From here on the two octets behind the addresses are a type, below a length (IEEE 802.3)."""
_LENGTHS = 22
"""Octets up to and with the lengths of what follows a link header."""
_HEAD = 34
_MOST_HEAD = 256
_FEW = 42
"""Octets of the shortest frame that is not cut: ARP without padding."""
_CERTAIN = 36.0
"""Bits of content that no memory of other things holds by chance."""


class Finished(NamedTuple):
    """What became of an open dump."""

    track: Track
    dump: Dump | None
    doubt: Doubt | None


def finished(
    tracks: list[Track],
    content: Content | None,
    *,
    at_end: bool,
    first: bool,
    usual: int | None = None,
    sure: bool = False,
) -> Finished:
    """Weigh the readings that stand open, and make the dump of the best.

    ``usual``: by how many octets the dump before was shorter than its announced length;
    ``sure``: other dumps of the log say that this is one.
    """
    weighed = [(_weight(track, content), index) for index, track in enumerate(tracks)]
    if len(weighed) > 1:
        weighed.sort(key=lambda w: (-w[0][0], w[1]))
    (bits, strength, swapped, order_doubt), index = weighed[0]
    track = tracks[index]
    doubts = list(track.doubts)
    if len(weighed) > 1:
        (other_bits, *_), other = weighed[1]
        rival = tracks[other]
        if bits - other_bits < _NEAR and rival.octets != track.octets:
            doubts.append(
                Doubt(
                    FIRST,
                    "offset" if track.shape.offset else "octets",
                    "offset" if rival.shape.offset else "octets",
                    True,
                    track.rows[0].line,
                )
            )
    if bits < ENOUGH and not sure:
        doubt = None
        if bits >= CLOSE and track.total >= 8:
            doubt = Doubt(
                "dump or not",
                "chatter",
                f"a dump of {track.total} octets{_up_to(track)}",
                False,
                track.rows[0].line,
            )
        return Finished(track, None, doubt)
    if order_doubt:
        doubts.append(order_doubt)
    start_doubt = _start_doubt(track, content, first)
    if start_doubt:
        doubts.append(start_doubt)
    if _may_be_else(track, content):
        doubts.append(
            Doubt(
                "frame or not",
                f"a dump of {track.total} octets",
                "octets of something else: nothing in them speaks of a frame",
                True,
                track.rows[0].line,
            )
        )
    if _one_row_of_more(track):
        says = "further on: its own header says that it is longer"
        taken, line = f"behind {track.total} octets", track.rows[0].line
        doubts.append(Doubt("where the dump ends", taken, says, True, line))
    if track.total >= MOST_OCTETS:
        doubts.append(
            Doubt(
                "length of the dump",
                f"its first {track.total} octets",
                "a longer one",
                True,
                track.rows[0].line,
            )
        )
    dump = _dump(track, swapped, doubts, strength, at_end, first, usual, content)
    return Finished(track, dump, None)


def _up_to(track: Track) -> str:
    """On which lines a dump of several stands, in words."""
    first, last = track.rows[0].line, track.rows[-1].line
    return f": lines {first} to {last}" if last > first else ""


def _weight(track: Track, content: Content | None) -> tuple[float, float, int, Doubt | None]:
    """Bits of text and content together, bits of text, octets of a turned word, a doubt."""
    strength = text_evidence(track).bits
    if content is None:
        return strength + 3.0, strength, 0, None
    octets = track.octets
    said = content(octets)
    swapped, doubt = 0, None
    sure = said >= _SURE and octets[12:14] in ETHERTYPES
    if not sure and not track.gutter_rows:
        # In the order of the wire it is no sure frame: look at the others.
        said, swapped, doubt = _word_order(track, said, content)
    if _foreign(track, octets, said, content):
        # Memory of something else is printed in the same way as a frame.
        return min(strength, ENOUGH - 1), strength, 0, None
    low = -6.0 if track.shape.group == 1 else -12.0
    if words(track) and said < _SURE:
        # Memory words look the same but for what they hold.
        said -= 8.0
    if track.facts.other and said >= _BEYOND:
        strength = text_evidence(track, heeds_others=False).bits
    elif track.facts.other and not sure and words(track):
        said = min(said, 8.0)
    most = 16.0 if said < _CERTAIN else 24.0
    return strength + min(most, max(low, said)), strength, swapped, doubt


def _word_order(track: Track, said: float, content: Content) -> tuple[float, int, Doubt | None]:
    """Bits of content in the better order, octets of a turned word (0: as printed), a doubt."""
    shape = track.shape
    first, last = "first octet first", "last octet first"
    number = track.rows[0].line
    if track.lanes:
        other = content(_turned(track, shape.per_row))
        return (other, shape.per_row, None) if other > said else (said, 0, None)
    if 1 < shape.group <= 8:
        other = content(_turned(track, shape.group))
        if other > said + _NEAR and other > 0:
            return other, shape.group, None
        if other > 0 and other > said - _NEAR:
            return said, 0, Doubt("octet order of words", first, last, True, number)
    elif len(track.parts) > 1 and not shape.gaps and shape.per_row in _PACKED:
        other, size = max((content(_turned(track, size)), size) for size in _WORDS)
        if other >= _SURE and other > said + _NEAR:
            # Nothing parts the words: they may be the sender's as well.
            return other, size, Doubt("octet order of words", last, first, True, number)
    return said, 0, None


def _start_doubt(track: Track, content: Content | None, first: bool) -> Doubt | None:
    """Whether a dump that does not begin as a frame may begin further up."""
    shape, line = track.shape, track.rows[0].line
    if track.fields and (bare(track.octets) is not None or track.octets[:2] == _ARP):
        other = "further up: fields of its link header stand there"
        return Doubt("where the dump starts", "at its first line", other, True, line)
    top = first and track.at_top and not (shape.offset and track.progressed)
    signs = top or track.torn or track.close or track.behind_broken or track.scrap
    if content is None or not signs:
        return None
    octets = track.octets
    if track.claimed_reached and not (track.behind_broken and _rows_in_front(track, content)):
        return None
    close = track.close and not shape.offset and (len(track.rows) > 1 or len(octets) < _FEW)
    close = close and (content(octets) < STRONG or octets[12:14] < _TYPES)
    lame = track.behind_broken and not shape.offset and _no_header(track, octets, content)
    far = bool(track.scrap) and not track.torn
    better = bool(track.scrap) and content(track.scrap + octets) > content(octets) + _NEAR
    far = far and (better or from_group(octets))
    if not (track.torn or top or close or far or lame):
        return None
    if track.torn or close or far or lame:
        better = better or from_group(octets)
        forms = (octets, _turned(track, shape.group))
        if not better and any(whole(track, o) and bare(o) is None for o in forms):
            return None
        if shape.offset and not track.first_value and track.progressed:
            return None
        other = "further up: the line in front holds part of such a row"
    else:
        said = content(octets)
        other_header = (
            octets[12:14] in ETHERTYPES and len(octets) >= _LENGTHS and wanted(octets) is None
        )
        begins = said > 0 and (said >= STRONG or len(octets) >= SHORTEST) and not other_header
        if begins and not _too_few(octets) and _in_front(octets, content):
            return None
        if is_fill(octets) or (len(octets) >= _FEW and _in_disguise(octets, content)):
            return None
        other = "in front of the log's first line: it does not begin as a frame does"
    return Doubt("where the dump starts", "at its first line", other, True, line)


def _no_header(track: Track, octets: bytes, content: Content) -> bool:
    """Whether no header that states a length stands at the front, in either octet order."""
    if content(octets) < STRONG:
        return True
    return wanted(octets) is None and wanted(_turned(track, track.shape.group)) is None


def _too_few(octets: bytes) -> bool:
    """Whether there are fewer octets than any frame has, and nothing says what they begin with."""
    known = octets[12:14] in ETHERTYPES or bare(octets) is not None or octets[:2] == _ARP
    return len(octets) < _FEW and not known and wanted(octets) is None


def _rows_in_front(track: Track, content: Content) -> bool:
    """Whether the frame begins with a later row: those in front may be the broken dump's."""
    shape, octets = track.shape, track.octets
    if shape.offset or len(track.rows) < 2 or wanted(octets) is not None:
        return False
    rest = octets[shape.per_row :]
    return wanted(rest) is not None and content(rest) >= STRONG


def _in_front(octets: bytes, content: Content) -> bool:
    """Whether what speaks for a frame stands at the front, or behind octets of a device.

    The tail of a frame holds what looks like a header by chance, but not one whose length fits.
    """
    if content(octets[:_HEAD]) > 0:
        return True
    total = len(octets)
    return any(
        own is not None and 0 <= total - at - own < _HEAD and not from_group(octets[at:])
        for at in range(1, min(_MOST_HEAD, total))
        for own in [wanted(octets[at:])]
    )


def _foreign(track: Track, octets: bytes, said: float, content: Content) -> bool:
    """Whether nothing but the layout speaks for a frame, and the contents or words against it."""
    facts = track.facts
    if facts.frame or track.total in (*facts.claimed, *facts.maybe):
        return False
    if facts.other:
        least = 0 if track.total >= _FEW else 2 * STRONG
        if said > least or is_fill(octets):
            return False
        return track.total < _FEW or not _in_disguise(octets, content)
    if track.known or track.gutter_rows or said > -5.0 or track.first_value:
        return False
    return not is_fill(octets) and not _in_disguise(octets, content)


def _may_be_else(track: Track, content: Content | None) -> bool:
    """Whether a few octets are well printed, but nothing says that they are a frame's."""
    if content is None or track.total >= _FEW or track.total == track.claimed:
        return False
    octets = track.octets
    return content(octets) <= 0 and (len(octets) < _HEADER or not is_fill(octets))


def _one_row_of_more(track: Track) -> bool:
    """Whether a line of numbers of any width is rather the first of several."""
    if len(track.rows) > 1 or track.shape.notation not in UNEVEN or track.claimed_reached:
        return False
    return track.total < min(SHORTEST, wanted(track.octets) or 0)


def _in_disguise(octets: bytes, content: Content) -> bool:
    """Whether the octets begin as a frame does when a usual damage is undone."""
    if is_fill(octets[:14]):
        return True
    head = octets[:256]
    forms = [turned(head, 2), turned(head, 4), head.translate(_NIBBLES), head.translate(_REVERSED)]
    return any(content(form) >= STRONG for form in forms)


def _turned(track: Track, size: int) -> bytes:
    """The octets with each row's words of this size turned."""
    return b"".join([turned(part, size) for part in track.parts] if size > 1 else track.parts)


def _turned_row(row: Row, size: int) -> Row:
    columns, ends = turned_columns(row.columns, size), turned_columns(row.ends, size)
    return Row(row.line, row.first, tuple(columns), tuple(ends))


def _turned_ranges(ranges: list[Range], rows: list[Row], size: int) -> list[Range]:
    """Where the octets of these ranges stand when each row's words are turned."""
    if not ranges:
        return ranges
    order = [row.first + k for row in rows for k in turned_columns(range(len(row.columns)), size)]
    places = {old: new for new, old in enumerate(order)}
    return [(places[k], places[k] + 1) for a, b in ranges for k in range(a, b) if k in places]


def _dump(
    track: Track,
    swapped: int,
    doubts: list[Doubt],
    strength: float,
    at_end: bool,
    first: bool,
    usual: int | None,
    content: Content | None,
) -> Dump:
    shape = track.shape
    rows: list[Row] = track.rows
    octets = track.octets
    if swapped:
        octets = _turned(track, swapped)
        rows = track.rows = [_turned_row(r, swapped) for r in rows]
        track.doubtful = _turned_ranges(track.doubtful, rows, swapped)
    digits = track.digits
    if track.in_pieces:
        framing = sum([b - a for line in track.lines for a, b in line.areas()]) - digits
    else:
        framing = sum(map(_SIZE, track.lines)) - sum(map(_DROPPED, track.lines)) - digits
    verdict: Literal["agrees", "differs"] | None = None
    if track.gutter_rows:
        verdict = "differs" if track.wrong else "agrees"
    claimed = track.claimed
    value = track.first_value
    counts = (
        value
        and not shape.unit == shape.per_row > 1  # else the rows are counted, from any number
        and (value % shape.per_row == 0 or (len(track.rows) == 1 and value % 8 == 0))
    )
    above = bool(shape.offset and value and value < MOST_OCTETS and counts)
    if above and (track.claimed_reached or (content and content(octets) >= _BEYOND)):
        above = False  # an address of low memory: the frame begins here
    at_start = first and above and (value or 0) % shape.per_row == 0
    if above:
        doubts.append(
            Doubt(
                "first rows",
                f"octets from offset {value:#x} on; those before are not in the log",
                "a dump whose count starts there",
                True,
                track.rows[0].line,
            )
        )
    ends_here = at_end and not track.chatter
    could_go_on = track.full or not track.ended
    more, ranges = irregular(track, octets, ends_here and could_go_on)
    doubts.extend(more)
    track.doubtful.extend(ranges)
    part = len(octets) % (swapped or (shape.group if shape.little else 1))
    if part and not track.ended:
        doubts.append(_part_word(track.rows[-1].line))
        track.doubtful.append((len(octets) - part, len(octets)))
    for habit in (foreign_characters, inside_a_literal, part_number) if shape.notation else ():
        said = habit(track)
        if said:
            doubts.append(said[0])
            track.doubtful.extend(said[1])
    for by_rows, ranges in said_of_rows(track) if not (shape.offset and shape.gutter) else ():
        doubts.append(by_rows)
        track.doubtful.extend(ranges)
    # A length that counts the FCS as well says no cut; one that other dumps print whole does.
    fcs = claimed is not None and claimed - track.total == _FCS
    doubt = length_doubt(track, octets, usual) if fcs or not ends_here else None
    if doubt:
        doubts.append(doubt)
    if claimed is None and ends_here and could_go_on:
        # A bare number near by that is more than there is: the log's end cut the rest.
        claimed = next((n for n in track.facts.maybe if n > track.total), None)
    return Dump(
        octets,
        Places([row for row, _ in track.printed()] if track.in_pieces else track.rows),
        layout(track, swapped),
        claimed_length=claimed,
        direction=track.facts.direction,
        stamp=track.facts.stamp,
        doubts=tuple(doubts),
        at_start=at_start,
        at_edge=ends_here and could_go_on and claimed != track.total,
        gutter=verdict,
        doubtful=common(track.doubtful, [(0, track.total)]) if track.doubtful else (),
        digits=digits,
        framing=framing,
        word=track.word or swapped or (shape.group if shape.gaps else 1),
        strength=strength,
        words_behind=words_behind(track),
    )


def _part_word(line: int) -> Doubt:
    """The log ends inside a word that prints its last octet first: which octets are left?"""
    other = "others: the log ends inside a word that prints its last octet first"
    return Doubt(BROKEN_DIGITS, "the last word's octets, as printed", other, True, line)


def layout(track: Track, swapped: int) -> str:
    """How the dump is printed, in plain words."""
    shape = track.shape
    width = shape.per_row if len(track.rows) > 1 or shape.per_row in WIDTHS else 0
    known = shape.words
    key = width, shape.base, swapped
    if key not in known:
        known[key] = _layout(shape, width, swapped)
    return known[key]


def _layout(shape: Shape, width: int, swapped: int) -> str:
    """The words of it; ``width``: octets of a row, 0 where there is one line only."""
    words = []
    if shape.offset:
        base = {16: "hex", 10: "decimal", 8: "octal"}[shape.base]
        words.append(f"offset {base}" + (" from and to" if shape.upto else ""))
    else:
        words.append("no offset")
    words.append(f"{width} octets a row" if width else "one line")
    words.append(f"groups of {shape.group}" if shape.gaps else "one group")
    if swapped or shape.little:
        words.append(
            "last octet first" + (f" in words of {swapped}" if swapped and not shape.gaps else "")
        )
    if shape.notation:
        words.append(shape.notation)
    if shape.counted:
        words.append("running count")
    words.append(gutter_text(shape.gutter))
    return ", ".join(words)


def first_line(dump: Dump) -> int:
    """The line of a dump's first row."""
    return dump.places.rows[0].line
