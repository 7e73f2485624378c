"""Groups that are not of the size of the others: a layout of its own, or a character lost."""

from __future__ import annotations

import re
from collections.abc import Sequence

from framecheck.core.frame import BROKEN_DIGITS, Doubt
from framecheck.core.span import Range
from framecheck.reading._reading import Reading

_STRING = re.compile(r"(?<![0-9A-Za-z_])(?:[0-9A-Fa-f]{2}){14,}[0-9A-Fa-f](?![0-9A-Za-z_])")
_SHARE = 8
"""One group of so many may be broken; more of them are the layout."""
Noted = tuple[Doubt, tuple[Range, ...]]


def odd_digits(reading: Reading, number: int) -> Noted | None:
    """Octets of one digit where others have their leading zero: a digit was lost."""
    groups = reading.groups
    if not any(reading.line[a] == "0" and b - a == 2 for a, b in groups):
        return None
    odd = [k for k, (a, b) in enumerate(groups) if b - a == 1]
    if not 0 < len(odd) <= max(1, len(groups) // _SHARE):
        return None
    return _noted(BROKEN_DIGITS, [(k, k + 1) for k in odd], number)


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
