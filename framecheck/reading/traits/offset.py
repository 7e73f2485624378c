"""The offset in front of a row's octets: ``0010:``, ``2000_1280``, ``0-19:``, ``#03:``.

It counts octets, words or rows, in hex, decimal or octal, from zero or from an address; which of
them, later rows settle.
"""

from __future__ import annotations

import re

from framecheck.reading._reading import Stretch
from framecheck.reading._tokens import separator

DIGITS = "[0-9A-Fa-f]{1,16}"
"""A pattern for an offset's digits."""
JOINED = "[0-9A-Fa-f]{2,8}_[0-9A-Fa-f]{4,8}"
"""A pattern for those of an address whose halves an underscore joins."""
_GAP = re.compile(r"[\])\"'`]?[ \t]*(?:[:|>=\-.,;]{0,2}[ \t]*|/[ \t]+)`?")
_LEFT = re.compile(
    rf"(?<![0-9A-Za-z_])({JOINED}|[0-9A-Fa-f]{{2,16}})[\])]?[ \t]*[:|>=\-.]{{0,2}}[ \t]*$"
)
_NAMED = re.compile(
    r"(?i:(?<![A-Za-z])(?:off(?:s|set)?|pos(?:ition)?|addr(?:ess)?|at|beat|row|line|part|chunk|piece"
    r"|index|word|seq|no|nr|block|frag(?:ment)?))"
    r"[\"']?[ \t]*[:=#]?[ \t]*[\"'(\[]?(?:0[xX])?([0-9A-Fa-f]{1,8})(?![0-9A-Za-z_])"
    r"[\"')\]]?[,;:]?[ \t]*(?=[A-Za-z])[^\[({<|]{0,40}$"
)
"""A number that says of what it is the count, with a few words between it and the octets."""
_SEGMENT = re.compile(r"(?<![0-9A-Za-z_.:])[0-9A-Fa-f]{1,8}:$")
"""What stands in front of the offset of an address of two parts."""
IN_PAGE = re.compile(
    r"[^0-9A-Za-z]*[0-9A-Fa-f]{2}:[0-9A-Fa-f]{2}(?=[ \t]{2,}[0-9A-Fa-f]{2} [0-9A-Fa-f])"
)
"""A page and a place in it, further from the octets than these are from one another."""
_UPTO = re.compile(r"[ \t]*(?:-+|\.{2,3}|to|\.\.=)[ \t]*")
SYMBOL = r"<[A-Za-z_.$][\w.$@]*(?:[ ]?\+[ ]?(?:0[xX]|  )?[0-9A-Fa-f]+)?>"
"""A pattern for a symbol and the distance from it, as they stand beside an address."""
_SYMBOL = re.compile(rf"(?<![0-9A-Za-z_])([0-9A-Fa-f]{{4,16}})[ \t]+{SYMBOL}[:|=]?[ \t]*$")
_PART = re.compile(
    r"(?<![0-9A-Za-z_.:/])(\d{1,4})(?:/|[ \t]?of[ \t]?)\d{1,4}[\])>]?[ \t]*[:|>=\-.,;]{0,2}[ \t]+$"
)
"""Which part it is of how many: ``(2/5) ``."""
_COLUMN = re.compile(r"[|>\])][ \t]+$")
"""What a logger puts in front of the text that it logs."""
_FAR = 120
"""Characters in front of the octets that are looked at."""
_MOST = 64
"""Octets of a row that says from where to where it goes, at the most."""


def number(digits: str, base: int = 16) -> int | None:
    """What an offset's digits say in this base; None where they say nothing."""
    try:
        return int(digits, base)
    except ValueError:
        return None


def before(
    text: str, found: list[Stretch], first: int, octets: int
) -> tuple[Stretch | None, int | None]:
    """The number in front of so many octets that may be their offset, and the last one's.

    ``text`` without the marks of a notation, ``found``: its groups of digits; ``first``: the
    first one of the octets.
    """
    if first == 0:
        return None, None
    start, stop = found[first - 1]
    gap = text[stop : found[first][0]]
    far = max(0, found[first][0] - _FAR)
    front = text[far : found[first][0]]
    said = _SYMBOL.search(front) or _PART.search(front)
    if not said and not _GAP.fullmatch(gap):
        said = _NAMED.search(front)
    if said:
        return (far + said.start(1), far + said.end(1)), None
    if stop - start > 17 or not 0 < len(gap) <= 40 or not _GAP.fullmatch(gap):
        return None, None
    marked = text[start - 1 : start] in ("@", "+")
    column = gap.strip() and _COLUMN.search(text, far, start)
    alone = stop - start == 1 and not column
    if alone and ((gap == " " and not marked) or text[:start].strip("|[(+@ \t")):
        # One digit is an offset only at the front of the line or of a column, and apart.
        return None, None
    if first >= 2:
        ends = _ends(text, found[first - 2], (start, stop), octets)
        if ends is not None:
            return found[first - 2], ends
    segment = stop - start == 4 and _SEGMENT.search(text[max(0, start - _FAR) : start])
    if (
        start
        and text[start - 1] in ".,:"
        and not segment
        and not text[start - 2 : start - 1].isspace()
    ):
        # The last part of a time stamp.
        return None, None
    return (start, stop), None


def _ends(text: str, low: Stretch, high: Stretch, octets: int) -> int | None:
    """The offset of the last octet, where a row says from where to where it goes."""
    between = text[low[1] : high[0]]
    if not _UPTO.fullmatch(between) and separator(between) not in ("-", "- "):
        return None
    for base in (16, 10):
        start, stop = number(text[slice(*low)], base), number(text[slice(*high)], base)
        if start is not None and stop is not None and octets <= stop - start + 1 <= _MOST:
            return stop
    return None


def left_of(text: str) -> Stretch | None:
    """The number at the end of a text that may be the offset of what stands behind it."""
    m = _LEFT.search(text)
    return m.span(1) if m else None
