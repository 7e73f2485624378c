"""Groups that are not of the size of the others: a layout of its own, or a character lost."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from itertools import pairwise
from string import hexdigits

from framecheck.core.frame import BROKEN_DIGITS, Doubt
from framecheck.core.span import Range
from framecheck.reading._notation import varying
from framecheck.reading._reading import Reading, Stretch
from framecheck.reading._uneven import LITERAL, UNEVEN

_STRING = re.compile(r"(?<![0-9A-Za-z_])(?:[0-9A-Fa-f]{2}){14,}[0-9A-Fa-f](?![0-9A-Za-z_])")
_SHARE = 8
"""One group of so many may be broken; more of them are the layout."""
_FEW = 2
"""Separators of another kind that are a fault and no habit."""
_PERIODS = (4, 8, 16, 32)
_HABITS = (6, 12, 14, 18)
"""Octets behind which a printer may set the fields of a link header apart."""
_GLUED = re.compile(
    r"[^\sA-Za-z0-9]?[ \t]?(?:0[xX])?"
    r"(?:\d(?![0-9A-Za-z])|([0-9A-Fa-f]{2,16}|\d)[^\s,;:|.)\]}'\"<>]|[0-9A-Fa-f](?:[0-9A-Fa-f]{2})?$)"
)
_GOES_ON = re.compile(r"[ ,]{1,2}[0-9A-Za-z]{3,5}(?:[ ,]{1,2}[0-9A-Fa-f]{2}){3}")
_ADDRESS = re.compile(r"([:\-])[0-9A-Fa-f]{2}\1[0-9A-Fa-f]{2}")
_MORE = re.compile(r"[^|]*?(?<![0-9A-Za-z_])[0-9A-Fa-f]{2}(?:[ ,:\-]{1,2}[0-9A-Fa-f]{2}){2}")
_OPENING = {"]": "[", ")": "(", "}": "{", ">": "<"}
_TOUCHING = re.compile(r"[^\s'\",;)\]}>|<]")
_PAIRS = r"(?<![0-9A-Za-z_])(?:0x)?[0-9A-Fa-f]{{2}}(?:{gap}(?:0x)?[0-9A-Fa-f]{{2}}){{{more}}}"
_BROKEN_BEFORE = (
    r"(?<![0-9A-Za-z_])(?:0x)?[0-9A-Fa-f]{{2}}{gap}"
    r"(?:(?:0x)?[0-9A-Fa-f]{gap}|(?:0x)?[0-9A-Fa-f]{{2}}[^\s0-9A-Za-z]{{1,2}})$"
)
"""A pair, and one more that has lost a digit or is parted from the octets by another mark."""
_TOUCHED = re.compile(r"(?<![0-9A-Za-z_])[0-9A-Fa-f]{2,}[^\s0-9A-Za-z_][0-9A-Fa-f]?$")
"""Digits in front of a string, with one character that is none between."""
_NEARLY_DIGITS = re.compile(
    r"(?=.*[0-9A-Fa-f])(?!0x$)[0-9A-Fa-f]*[^0-9A-Fa-f]?[0-9A-Fa-f]*"
).fullmatch
_BROKEN_PAIRS = re.compile(
    r"(?:[0-9A-Fa-f]{2} )+(?:[0-9A-Fa-f][^\s0-9A-Fa-f]|[^\s0-9A-Fa-f][0-9A-Fa-f]) "
    r"|(?:[0-9A-Fa-f]{2} )*[0-9A-Fa-f]{2}[^\s0-9A-Za-z]"
).fullmatch
"""Pairs at a line's start, and one with a character that is no digit, or no blank behind it."""
_DIGITS_BEFORE = re.compile(r"(?<![0-9A-Za-z_])[0-9A-Fa-f]{1,2} $")
_WORD_BEFORE = re.compile(r"[0-9A-Za-z_][0-9A-Fa-f]{1,2}[ ,:\-]$")
Noted = tuple[Doubt, tuple[Range, ...]]


def odd_digits(reading: Reading, number: int) -> Noted | None:
    """Octets of one digit where others have their leading zero: a digit was lost."""
    odd = lost_digits(reading.line, reading.groups)
    return _noted(BROKEN_DIGITS, [(k, k + 1) for k in odd], number) if odd else None


def lost_digits(line: str, groups: Sequence[Stretch]) -> list[int]:
    """The few groups of one digit among pairs of which some have a leading zero."""
    if not any(line[a] == "0" and b - a == 2 for a, b in groups):
        return []
    odd = [k for k, (a, b) in enumerate(groups) if b - a == 1]
    return odd if len(odd) <= max(1, len(groups) // _SHARE) else []


def odd_groups(columns: Sequence[int], number: int) -> Noted | None:
    """A group longer or shorter than nearly all others: a blank was lost, or a digit pair."""
    groups: list[list[int]] = []
    for k, column in enumerate(columns):
        if k and column == columns[k - 1] + 2:
            groups[-1].append(k)
        else:
            groups.append([k])
    sizes = [len(g) for g in groups]
    usual = max(set(sizes), key=sizes.count)
    odd = [(g[0], g[-1] + 1) for g in groups[:-1] if len(g) != usual]
    if not 0 < len(odd) <= max(1, len(groups) // _SHARE):
        return None
    return _noted("where octets begin", odd, number)


def odd_string(text: str) -> Reading | None:
    """A long string of digits without its last one, when they are odd in number."""
    m = _STRING.search(text)
    if m is None:
        return None
    a, b = m.start(), m.end() - 1
    columns = tuple(range(a + 1, b + 1, 2))
    ends = tuple([c + 2 for c in columns])
    octets = bytes.fromhex(text[a:b])
    return Reading(text, "", (b - a) // 2, ((a, b),), octets, columns, ends, tail=m.end())


def of_string(total: int, number: int) -> Noted:
    """What is said of such a string: no octet of it is sure."""
    doubt = Doubt(
        "where octets begin",
        "two digits an octet from the first one on, the last one left out",
        "octets behind a digit that the console lost or printed twice",
        True,
        number,
    )
    return doubt, ((0, total),)


def _noted(about: str, odd: list[Range], number: int) -> Noted:
    doubt = Doubt(
        about,
        f"{len(odd)} group{'s' if len(odd) > 1 else ''} as printed",
        "groups of the size of the others, of which a character was lost or came twice",
        True,
        number,
    )
    return doubt, tuple(odd)


def habit(found: Noted | None) -> bool:
    """Whether odd separators stand only where a printer may set a link header's fields apart."""
    return found is not None and {stop - 1 for _, stop in found[1]} <= set(_HABITS)


def odd_gap(reading: Reading, number: int) -> Noted | None:
    """A separator that is not like the others, where no regular turn explains it."""
    groups, line = reading.groups, reading.line
    gaps = [line[a[1] : b[0]] for a, b in pairwise(groups)]
    if len(gaps) < 4 or reading.notation in UNEVEN or reading.group < 1:
        return None
    if varying(reading.notation):
        gaps = [gap.strip() for gap in gaps]
    usual = Counter(gaps).most_common(1)[0][0]
    odd = [k for k, gap in enumerate(gaps, 1) if gap != usual]
    if not 0 < len(odd) <= _FEW:
        return None
    at = [k * reading.group for k in odd]
    period = odd[0] == -(-len(groups) // 2) or at[0] in _PERIODS
    if period and odd == list(range(odd[0], len(groups), odd[0])):
        return None
    return _noted("where octets begin", [(k - 1, k + 1) for k in at], number)


def _one_digit(lead: str) -> bool:
    """Whether all that is in front is a pair that lost one digit, maybe with a blank behind it."""
    if len(lead) == 3 and lead[2] == " ":
        first, second = (c in hexdigits for c in lead[:2])
        return (first and not second and lead[1] not in "xX") or (
            second and not first and not lead[0].isalpha()
        )
    return len(lead) == 2 and lead[0] in hexdigits and lead[1] not in "xX"


def glued_in_front(reading: Reading) -> int:
    """Whether text in front of the octets holds digits of more.

    2: a list of them; 3: a pair or two, which may be numbers; 4: one digit at the line's start;
    1: it may be the end of a word; or 0.
    """
    if len(reading.groups) == 1 and _TOUCHED.search(reading.lead):
        return 2
    if len(reading.groups) == 1 and _NEARLY_DIGITS(reading.lead):
        return 3
    if reading.group == 1 and _BROKEN_PAIRS(reading.lead):
        return 3
    if reading.left or reading.group != 1 or len(reading.groups) < 2:
        return 0
    if _one_digit(reading.lead):
        return 4
    gap = reading.line[reading.groups[0][1] : reading.groups[1][0]]
    if gap in (" ", ", ", ","):
        lead = reading.lead[-64:]
        if re.search(_BROKEN_BEFORE.format(gap=gap), lead):
            return 3
        if re.search(_PAIRS.format(gap=gap, more=2), lead):
            return 2
        low, high = reading.offset or (0, 0)
        like = 0 < high - low <= 2 and reading.line[high : reading.start] == gap
        if like and re.search(rf"(?:^|[^0-9A-Za-z_])[0-9A-Fa-f]{{1,2}}{gap}$", lead):
            return 2  # what was taken for an offset is an octet
        if reading.offset and re.search(_PAIRS.format(gap=gap, more=0) + gap + "$", lead):
            return 3
    before = reading.line[: reading.start][-8:]
    near = _WORD_BEFORE.search(before) or (not reading.offset and _DIGITS_BEFORE.search(before))
    return 1 if near else 0


def glued(reading: Reading) -> int:
    """Whether text behind the octets touches digits of one more.

    3: it touches a string that has digits only, or closes what nothing opened; 2: it holds some;
    1: it may be a word; or 0.
    """
    if reading.gutter or reading.running is not None or reading.notation == LITERAL:
        return 0
    tail = reading.line[reading.tail :][:16]
    opening = _OPENING.get(tail[:1])
    if opening and tail[1:].strip() and opening not in reading.line[: reading.start]:
        return 3  # a bracket that closes what nothing opened
    if len(reading.groups) == 1:
        return 3 if _TOUCHING.match(tail) else 2 if any(c.isalnum() for c in tail) else 0
    if reading.group == 1 and (_GOES_ON.match(tail) or _ADDRESS.match(tail)):
        return 3
    m = _GLUED.match(tail)
    if m is None:
        return 2 if reading.group == 1 and _MORE.match(reading.line[reading.tail :][:64]) else 0
    return 2 if m[1] is None or any(c.isdigit() for c in m[1]) else 1
