"""Digit groups of a line, and the runs of like groups that may be octets.

A notation rewrites its marks (``0x``, ``\\\\x``, quotes) to blanks, character for character, so
that every notation arrives here as plain groups in their true columns.
"""

from __future__ import annotations

import re
from itertools import pairwise
from typing import NamedTuple

from framecheck.reading._reading import Stretch

TOKEN = re.compile(
    r"(?<![0-9A-Za-z_])[0-9A-Fa-f]+(?:(?<=[0-9A-Fa-f]{2})_[0-9A-Fa-f]{4,8})?(?![0-9A-Za-z_])"
)
"""Digits; of an address whose halves an underscore joins, both halves: nothing that is octets."""
GROUP_DIGITS = (2, 4, 6, 8, 10, 12, 14, 16, 20, 24)
_HALVES = (4, 8, 16)
_ADDRESS, _ADDRESS_6 = 6, 8
"""Groups of a hardware address, and of an IPv6 address."""
_MOST_PARTED = 32
LONG_DIGITS = 28
"""From here on one group alone is a long hex string: 14 octets, a header."""
FRAME_DIGITS = 120
"""From here on a group is a frame of its own (60 octets), however many stand in a line."""

_BETWEEN = re.compile(
    r"[ \t]*([:\-,;./|]?)[ \t]*|[ \t]+(?P<drawn>[+*~!]|[^\x00-\xa0\w\s\u2190-\u21ff])[ \t]+"
)
"""Between groups; what draws a line may part the halves of a row, an arrow does not."""
MOST_GROUPS = 70_000


class Run(NamedTuple):
    """Like groups in a row: a range of tokens."""

    first: int
    last: int
    """Exclusive."""
    size: int
    """Digits of a full group."""
    between: str
    """What separates the groups: a mark, or a blank."""


def tokens(plain: str) -> list[Stretch]:
    """All groups of hex digits that no letter touches."""
    found: list[Stretch] = []
    for m in TOKEN.finditer(plain):
        found.append(m.span())
        if len(found) >= MOST_GROUPS:
            break
    return found


def separator(gap: str) -> str | None:
    """What separates two groups: `` ``, a mark (``:``), or a mark with blanks (``: ``).

    A mark that is drawn between halves of a row alone stands behind the blank (`` ·``).
    """
    if gap == " ":
        return gap
    m = _BETWEEN.fullmatch(gap) if len(gap) <= 40 else None
    if m is None:
        return None
    if m["drawn"]:
        return " " + m["drawn"]
    mark = m[1]
    if not mark:
        return " "
    return mark if len(gap) == 1 or mark == "," else mark + " "


def _halves(plain: str, groups: list[Stretch], between: str, kind: str, first: int) -> bool:
    """Whether what stands behind the first groups parts a row in two halves.

    ``5e 10 00 01-02 00 5e 10``, ``5e:10:00:01  02:00:5e:10``, ``5e-10-00-01|02-00-5e-10``; two
    hardware addresses are none.
    ``groups``: these and twice as many at the most, one more where there is one.
    """
    drawn = kind[0] == " " != kind
    touches = kind in ("-", "|", ":", "/")
    if between == " " and touches and first in _HALVES:
        return True
    size = groups[0][1] - groups[0][0]
    address = between == ":" and size == 4 and first == _ADDRESS_6
    apart = touches and size == 2 and kind != between != " " and first in _HALVES
    wide = touches if between == " " else kind[-1] == " " and not address
    if not (wide or apart or (drawn and not address)):
        return False
    if first < (4 if size == 2 else 2) or (first == _ADDRESS and between != " "):
        return False
    inner = [separator(plain[a[1] : b[0]]) for a, b in pairwise(groups[first:])]
    same = {b - a for a, b in groups[: 2 * first]} == {size}
    return (
        same and inner[: first - 1] == [between] * (first - 1) and inner[first - 1 :] != [between]
    )


def _parts_evenly(plain: str, groups: list[Stretch], between: str, kind: str) -> bool:
    """Whether blanks part groups that a mark joins, as many each time, three times at least."""
    period = len(groups) // 3
    if kind != " " or between == " " or period < 2 or len(groups) % 3:
        return False
    if len({b - a for a, b in groups}) > 1:
        return False
    gaps = [separator(plain[a[1] : b[0]]) for a, b in pairwise(groups)]
    return all(gap == (between if k % period else kind) for k, gap in enumerate(gaps, 1))


def _longer(plain: str, found: list[Stretch], j: int, kind: str, size: int) -> bool:
    """Whether a group belongs to those behind it rather than to the one in front."""
    if j + 1 >= len(found) or found[j + 1][1] - found[j + 1][0] != size:
        return False
    return separator(plain[found[j][1] : found[j + 1][0]]) == kind


def runs(plain: str, found: list[Stretch]) -> list[Run]:
    """Runs of like groups, from left to right; they never share a group."""
    out: list[Run] = []
    i, count = 0, len(found)
    while i < count:
        size = found[i][1] - found[i][0]
        odd = size % 2 or (size not in GROUP_DIGITS and size < LONG_DIGITS)
        if odd or "_" in plain[slice(*found[i])]:
            i += 1
            continue
        j, between, second, period = i + 1, "", "", 0
        if size >= FRAME_DIGITS:
            out.append(Run(i, j, size, " "))
            i = j
            continue
        while j < count and found[j][1] - found[j][0] == size:
            if size > 6 and "_" in plain[slice(*found[j])]:
                break
            kind = separator(plain[found[j - 1][1] : found[j][0]])
            if kind is None:
                break
            if not between:
                if kind[0] == " " != kind:
                    break
                between = kind
            elif second:
                if kind != (second if (j - i) % period == 0 else between):
                    break
            elif kind == between:
                pass
            elif j - i <= _MOST_PARTED and _parts_evenly(
                plain, found[i : i + 3 * (j - i)], between, kind
            ):
                second, period = kind, j - i
            elif not (
                (between == " " and kind in (": ", "| ", "- "))
                or _halves(plain, found[i : 2 * j - i + 1], between, kind, j - i)
            ):
                if j - i == 2 and (len(between) == 2 or _longer(plain, found, j, kind, size)):
                    # ``00: 02 00``: the first one stands apart.
                    j = i + 1
                    between = ""
                break
            j += 1
        if size > 2 and j < count:
            short = found[j][1] - found[j][0]
            kind = separator(plain[found[j - 1][1] : found[j][0]])
            fits = short < size and short % 2 == 0
            if fits and j + 1 < count and found[j + 1][1] - found[j + 1][0] == short:
                # Another one of its size behind it: these are not the end of longer groups.
                fits = separator(plain[found[j][1] : found[j + 1][0]]) is None
            if fits and kind is not None and kind == (between or " "):
                between = between or kind
                j += 1
        out.append(Run(i, j, size, between or " "))
        i = j
    return out
