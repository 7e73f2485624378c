"""What a line holds beside what it shows: colours of a terminal, and a page's signs for characters.

Both belong to how a log is printed and name nobody: they stay. Sequences: ECMA-48 5.4, from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape
from typing import NamedTuple

_TOLD = re.compile(r"\x1b(?:\[[0-?]{0,16}[ -/]{0,2}[@-~]|[()][0AB]|[=>HMNOZ])")
"""Short ones only, and no titles of windows: those may hold anything."""
_SIGN = re.compile(r"&(?:lt|gt|amp|quot|apos|nbsp|#\d{1,3}|#x[0-9a-f]{1,2});")
VEIL = "\x1b"
_BLANKS = str.maketrans(dict.fromkeys("\u00a0\u2007\u2009\u202f\u3000", " "))
"""Blanks that a line may have in place of plain ones."""


class Shown(NamedTuple):
    """A line as it shows, and where each of its characters stands in the log's line."""

    text: str
    starts: tuple[int, ...]
    stops: tuple[int, ...]


def fixed(line: str) -> Iterator[tuple[int, int]]:
    """Stretches of such marks."""
    for pattern, sign in ((_TOLD, "\x1b"), (_SIGN, "&")):
        if sign in line:
            yield from (m.span() for m in pattern.finditer(line))


def veiled(line: str) -> str:
    """The line, as long as it was, with nothing in a terminal's sequences that could be read."""
    if "\x1b" not in line:
        return line
    return _TOLD.sub(lambda m: VEIL * len(m[0]), line)


def shown(line: str, start: int = 0, stop: int | None = None) -> Shown:
    """What a stretch of a line shows."""
    stop = len(line) if stop is None else stop
    line = line.translate(_BLANKS)
    if "\x1b" not in line and "&" not in line:
        return Shown(line[start:stop], tuple(range(start, stop)), tuple(range(start + 1, stop + 1)))
    text, starts, stops = [], [], []
    at = start
    while at < stop:
        told, sign = _TOLD.match(line, at), _SIGN.match(line, at)
        if told:
            at = told.end()
            continue
        end = sign.end() if sign else at + 1
        text.append(unescape(line[at:end]) if sign else line[at])
        starts.append(at)
        stops.append(end)
        at = end
    return Shown("".join(text), tuple(starts), tuple(stops))


def as_there(character: str, before: str) -> str:
    """A character for one that stood there as ``before``: as a sign where that was one."""
    if len(before) > 1 and before[0] == "&":
        return {"<": "&lt;", ">": "&gt;", "&": "&amp;", '"': "&quot;"}.get(character, character)
    return character
