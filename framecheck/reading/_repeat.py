"""Repeat markers: a line that stands for rows equal to the one in front of it.

The next offset says for how many; all their octets stand at the marker.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from framecheck.reading._lines import Line
from framecheck.reading._shape import Shape, Taken
from framecheck.reading._track import MOST_OCTETS, Track

_MARKER = re.compile(
    r"[ \t|>]*(?P<mark>\*{1,3}|\.{2,}|\"|~|(?:[.*\-(<\[]+[ \t]*)?(?:\d+[ \t]*x?[ \t]*)?"
    r"(?:(?:all|more|lines?|rows?|the|previous|last|above|line|row)[ \t]+)*"
    r"(?:same|repeat(?:ed|s)?|identical|ditto|duplicates?|skipp(?:ed|ing)|as above|dup)"
    r"(?:[ \t]+(?:as|lines?|rows?|above|before|previous|last|the|row|line|\d+|times|x|data|to))*"
    r"(?:[ \t]*[.*\-)>\]]+)?)[ \t|]*",
    re.IGNORECASE,
)
_COUNTED = re.compile(
    r"[ \t|>]*(?P<mark>(?:[(\[{<]|\.{2,}|-{2,}|\*+|\+)[ \t]*(?:[^\d\n]{0,24}[ \t(x])?"
    r"(?P<rows>\d{1,5})(?:[ \t]?x|[ \t)\]][^\d\n]{0,32})?)[ \t]*"
)
"""A number between marks that no words explain: how many rows, or octets, are not printed."""
_SAID = re.compile(
    r"[ \t|>]*(?P<mark>(?:[(\[{<]{1,3}|\.{2,}|-{2,}|\*+|=+|#+)"
    r"(?=[^\n]*(?:same|repeat|identical|ditto|duplicate|equal|as above|like (?:this|above)))"
    r"(?P<says>[^\n]{0,56}[^\s|]))[ \t|]*",
    re.IGNORECASE,
)
"""Words of more rows like the one above, behind a mark; their numbers have to fit."""
_SAID_NUMBER = re.compile(
    r"(?<![0-9A-Za-z])(0?[xX])?([0-9A-Fa-f]*[0-9][0-9A-Fa-f]*)(?![0-9A-Za-z])"
)
_LEFT_OUT = re.compile(r"omit|skip|cut|drop|lost|left out|suppress|miss", re.IGNORECASE)
_ALONE = re.compile(r"[ \t]*[+\[(]?(?:0[xX])?([0-9A-Fa-f]{1,16})[\])]?[:|]?[ \t]*")


def is_marker(text: str, lead: str) -> re.Match[str] | None:
    """The marker of a line, if it holds nothing else."""
    if len(text) > len(lead) + 60:
        return None
    m = _MARKER.fullmatch(text)
    if m is None and lead.strip():
        m = _behind(text, lead)
    return m or _marker(text, 0)


def _marker(text: str, at: int) -> re.Match[str] | None:
    m = _MARKER.fullmatch(text, at) or _SAID.fullmatch(text, at)
    return m or (None if _LEFT_OUT.search(text, at) else _COUNTED.fullmatch(text, at))


def counts(text: str, lead: str) -> bool:
    """Whether a marker is words or a number that may as well be something else's."""
    m = is_marker(text, lead)
    return m is not None and not {"rows", "says"}.isdisjoint(m.groupdict())


def _fits(marker: re.Match[str] | None, lost: int, per_row: int, offsets: Sequence[int]) -> bool:
    """Whether what a marker counts is so many octets, or rows of them; one in words counts none.

    ``offsets``: those at which the rows that it stands for may be said to begin and to end.
    """
    said = marker.groupdict() if marker else {}
    if said.get("rows"):
        return int(said["rows"]) in (lost, lost // per_row)
    known = (lost, lost // per_row, *offsets)
    return all(
        (not mark[:1].isdigit() and digits.isdecimal() and int(digits) in known)
        or int(digits, 16) in offsets
        for mark, digits in _SAID_NUMBER.findall(said.get("says") or "")
    )


def _behind(text: str, lead: str) -> re.Match[str] | None:
    """The marker behind a prefix of the same words as the rows have."""
    for at in range(min(len(text), len(lead) + 4), 0, -1):
        if text[at - 1] in " \t>:])" and _words(text[:at]) == _words(lead):
            found = _marker(text, at)
            if found:
                return found
    return None


def _words(lead: str) -> str:
    return re.sub(r"[\d\s]+", "", lead)


def repeated(track: Track, line: Line) -> bool:
    """Whether the line is a repeat marker of this dump, or the row behind one."""
    shape = track.shape
    if not shape.offset or track.expected is None or not track.full or line.pieces:
        return False
    if track.marker is None:
        if track.blanks or track.chatter or not is_marker(line.text, shape.lead):
            return False
        track.marker = line
        return True
    marker, track.marker = track.marker, None
    for base in (shape.base,) if track.progressed else (16, 10):
        found = _row(shape, line.text, base)
        if found is None or found[0] is None:
            continue
        first = track.first_value or 0
        expected = track.expected
        if not track.progressed:
            expected = first + track.total // shape.unit
        lost = (found[0] - expected) * shape.unit
        whole = 0 < lost <= MOST_OCTETS - track.total and lost % shape.per_row == 0
        step = shape.per_row // shape.unit
        offsets = (expected, expected - step, found[0], found[0] - 1, found[0] - step)
        if whole and _fits(is_marker(marker.text, shape.lead), lost, shape.per_row, offsets):
            shape.base = base
            _fill(track, marker, lost)
            track.expected = found[0]
            track.progressed += 1
            if found[1] is not None:
                track.add(found[1], line)
            else:
                track.closed = True
            return True
    return False


def _row(shape: Shape, text: str, base: int) -> tuple[int | None, Taken | None] | None:
    """Offset and octets of the line behind a marker; the last line may be an offset alone."""
    before, shape.base = shape.base, base
    taken = shape.take(text, None)
    shape.base = before
    if taken is not None:
        return taken.value, taken
    m = _ALONE.fullmatch(text, min(len(text), len(shape.lead.rstrip(" \t"))))
    try:
        return (int(m[1], base), None) if m else None
    except ValueError:
        return None


def _fill(track: Track, marker: Line, lost: int) -> None:
    """Put in the rows that the marker stands for."""
    m = is_marker(marker.text, track.shape.lead)
    assert m is not None
    last = track.parts[-1]
    start, stop = m.start("mark") + 1, m.end("mark") + 1
    octets = last * (lost // len(last))
    digits = track.digits
    taken = Taken(None, octets, (start,) * lost, (stop,) * lost, None, False)
    track.add(taken, marker)
    track.full = True
    track.digits = digits + stop - start
