"""What stands in front of a dump: part of a row of its own, or a title that runs into it."""

from __future__ import annotations

import re
from collections import deque
from collections.abc import Sequence

from framecheck.reading._facts import facts
from framecheck.reading._irregular import end_mark, short_end
from framecheck.reading._scraps import is_scrap
from framecheck.reading._track import Track

_PAIRS = re.compile(r"(?:[0-9A-Fa-f]{2} )+").match
_ALONE = re.compile(r"\s*(?:[0-9A-Fa-f]{2,}|(?:[0-9A-Fa-f]{2} +)*[0-9A-Fa-f]{1,2})\s*").fullmatch
_RUNS_IN = re.compile(r"(\d[0-9A-Fa-f]{1,6})[G-Zg-z*(]").match
_ADDRESS = (
    r"(?<![0-9A-Fa-f])([0-9A-Fa-f]{2}(?:[:.\- ]?[0-9A-Fa-f]{2}){5})(?![0-9A-Fa-f]|[:\-][0-9A-Fa-f])"
)
_HEADER = re.compile(
    rf"{_ADDRESS}.{{0,24}}?{_ADDRESS}.{{0,24}}?(?<![0-9A-Fa-f])(0800|0806|86dd|8100)(?![0-9A-Fa-f])",
    re.IGNORECASE,
).search
_FIELD = re.compile(
    r"[^0-9A-Za-z]*(?:\w*[_.])?(?:dst|dest(?:ination)?|src|source|to|from|(?:ether)?type|proto(?:col)?)"
    r"(?:[ _.\-]?(?:mac|addr(?:ess)?))?[^0-9A-Za-z]+(?:0x)?[0-9A-Fa-f]{2}",
    re.IGNORECASE,
).match
"""A line that prints a field of a link header by its name."""
_LINK_FIELD = re.compile(
    r"(?<![0-9A-Za-z])(?:dst|dest(?:ination)?|src|source|to|from)(?:[ _.\-]?(?:mac|addr(?:ess)?))?"
    r"[ \t]*[:= ][ \t]*[0-9a-f]{1,2}(?:[:.\-][0-9a-f]{2}){4,5}(?![0-9a-f])"
    r"|(?<![0-9A-Za-z])(?:ether)?(?:type|proto(?:col)?)[ \t]*[:= ][ \t]*(?:0x)?"
    r"(?:0800|0806|86dd|8100)(?![0-9a-f])",
    re.IGNORECASE,
)
"""A hardware address behind its name, from which the console may have taken a digit, or a type."""
_DATA = re.compile(r"[^0-9A-Za-z]*(?:data|payload|body|bytes|octets)[^0-9A-Za-z]*").match
_MEMBER = re.compile(r"[ \t]*\.[A-Za-z]\w*[ \t]*=").match
"""A member of a structure: others stand in front of it."""
_FIELDS = 2
_ARP = b"\0\x01"
"""What ARP begins with where no link header stands in front: Ethernet (RFC 826)."""
_WHOLE = 120
"""Digits of the shortest frame that is padded."""
_BROKEN = 3
_NUMBER = 4
"""What ``glued_in_front`` says of pairs, of which one is broken, and of one digit."""
_SECOND = 2
_MOST = 4
_LEAST = 3
_MOST_KINDS = 16
_LONGEST = 400
_NO_LETTERS = bytes(c for c in range(128) if not chr(c).isalpha())


def _named_in_front(track: Track, above: Sequence[str], *, top: bool) -> bool:
    """Whether a link header's fields stand in front of a row's octets, or above their name.

    ``top``: the log begins right there, and may have had more of them.
    """
    if track.block:
        return False
    lead = track.text[: min(track.rows[0].columns) - 1][:_LONGEST]
    if len(track.rows) == 1 and len(_LINK_FIELD.findall(lead)) >= _FIELDS:
        return True
    fields = [text for text in above if _LINK_FIELD.search(text[:_LONGEST])]
    named = top or _DATA(lead) or _DATA(above[0])
    return bool(fields and named) or (top and bool(_MEMBER(lead)))


class Titles:
    """The words of the lines in front of the last dumps, where each had a line of its own."""

    def __init__(self) -> None:
        self._words: deque[str] = deque(maxlen=_MOST)
        self._leads: deque[tuple[int, str]] = deque(maxlen=_MOST)
        self._ends: dict[tuple[object, ...], tuple[str, str]] = {}
        self._last: Track | None = None

    def before(self, track: Track, front: str, further: Sequence[str] = ()) -> None:
        """Say in the dump what the line in front of it, and its own first words, tell.

        ``further``: lines above that one, the nearest last.
        """
        number = track.rows[0].line
        track.at_top = number == 1 or (number == _SECOND and not titled(front))
        inside = any(p.column for p in track.lines[0].pieces[:1])
        first = track.parts[0][:2]
        if first[:1].hex()[:1] in ("4", "6") or first == _ARP:
            # Only a datagram without a link header may have it printed by names.
            above = (front, *further[-_FIELDS:])
            track.fields = sum(1 for t in above if _FIELD(t)) >= _FIELDS or _named_in_front(
                track, above, top=number <= _SECOND + 1
            )
        track.torn = inside or (bool(front) and is_scrap(front, track.shape, top=number == _SECOND))
        if track.torn and (found := _PAIRS(front)):
            track.scrap = bytes.fromhex(found[0])
        elif not track.torn:
            scraps = map(_lone_octets, reversed(further)) if further else ()
            lone = next((s for s in scraps if s), b"")
            track.scrap = lone or _first_octets(front) or _link_header(front)
        self._learn()
        self._last = track
        if ends := self._ends.get(kind(track)):
            track.usual_end, track.usual_mark = ends
        # Other readings of the same line say nothing.
        leads = [lead for line, lead in self._leads if line != number]
        pattern = track.shape.lead_pattern
        if pattern not in leads:
            track.odd_lead = bool(leads)
            track.new_lead = True
        elif track.front in (_BROKEN, _NUMBER):
            track.front = 0  # other dumps have the like there, too
        self._leads.append((number, pattern))
        lead = _letters(track.shape.lead)
        if not lead:
            words = track.title = _letters(front)
            if len(words) >= _LEAST and words not in self._words:
                self._words.append(words)
        elif len(lead) >= _LEAST and self._has_line(lead) and not _letters(front).startswith(lead):
            # Other dumps have these words in a line of their own: its end is lost. (Where the line
            # in front begins with them as well, every line of that program does.)
            track.front = 2

    def _has_line(self, lead: str) -> bool:
        return any(words.startswith(lead) for words in self._words)

    def _learn(self) -> None:
        """What stands behind the last, short row of the dump before."""
        track, self._last = self._last, None
        end = short_end(track) if track else None
        if track and end is not None and len(self._ends) < _MOST_KINDS:
            like = kind(track)
            if like not in self._ends:
                self._ends[like] = end, end_mark(track)


def titled(text: str) -> bool:
    """Whether a line speaks of a frame, so that what follows is one from its start on."""
    about = facts(text)
    return about.frame or bool(about.claimed)


def _first_octets(text: str) -> bytes:
    """The octets of the few digits that run into a message at a line's start."""
    found = _RUNS_IN(text)
    return bytes.fromhex(found[1][: len(found[1]) & ~1]) if found else b""


def _link_header(text: str) -> bytes:
    """The octets of two hardware addresses and a type, whatever the words beside them."""
    found = _HEADER(text[:_LONGEST])
    return bytes.fromhex(re.sub("[^0-9A-Fa-f]", "", "".join(found.groups()))) if found else b""


def _lone_octets(text: str) -> bytes:
    """The octets of a line that holds nothing else, fewer than a frame has; else none."""
    digits = "".join(text.split()) if _ALONE(text) else ""
    return bytes.fromhex(digits[: len(digits) & ~1]) if len(digits) < _WHOLE else b""


def kind(track: Track) -> tuple[object, ...]:
    """What dumps of one printer have in common, also those of one row."""
    shape = track.shape
    lead = shape.lead_pattern if not shape.offset else ""
    return lead, shape.offset, shape.group, shape.gaps[:1]


def _letters(text: str) -> str:
    text = text[:_LONGEST]
    if text.isascii():
        return text.encode().translate(None, _NO_LETTERS).decode()
    return "".join([c for c in text if c.isalpha()])
