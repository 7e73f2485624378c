"""What a line holds beside what it shows: colours of a terminal, and a page's signs for characters.

Both belong to how a log is printed and name nobody: they stay. Sequences: ECMA-48 5.4, from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape
from typing import NamedTuple

from framecheck.reading.traits.plain import PLACED, plain

_TOLD = re.compile(r"\x1b(?:\[[0-?]{0,16}[ -/]{0,2}[@-~]|[()][0AB]|[=>HMNOZ])")
"""Short ones only, and no titles of windows: those may hold anything."""
_SIGN = re.compile(r"&(?:lt|gt|amp|quot|apos|nbsp|#\d{1,3}|#x[0-9a-f]{1,2});")
_SPELLED = re.compile(r"\\[tnr]")
_RELAYED = re.compile(r"#01[125]")
_HEX = re.compile(r"(?<![0-9A-Za-z])0x(?=[0-9A-F]{1,7}(?![0-9A-F]))", re.IGNORECASE)
"""The mark of a short number; a long one is exchanged with its mark."""
VEIL = "\x1b"


class Shown(NamedTuple):
    """A line as it shows, and where each of its characters stands in the log's line."""

    text: str
    starts: tuple[int, ...]
    stops: tuple[int, ...]


def fixed(line: str) -> Iterator[tuple[int, int]]:
    """Stretches of such marks."""
    for pattern, sign in ((_TOLD, "\x1b"), (_SIGN, "&"), (_SPELLED, "\\"), (_RELAYED, "#01")):
        if sign in line:
            yield from (m.span() for m in pattern.finditer(line))
    yield from (m.span() for m in _HEX.finditer(line))


def moved_to(line: str, start: int = 0) -> int | None:
    """Where, from some character on, the cursor is first put elsewhere; None where it is not."""
    found = PLACED.search(line, start) if "\x1b" in line else None
    return found.start() if found else None


def veiled(line: str) -> str:
    """The line, as long as it was, with nothing in such marks that could be read."""
    for pattern, sign in ((_TOLD, "\x1b"), (_SPELLED, "\\"), (_RELAYED, "#01")):
        if sign in line:
            line = pattern.sub(lambda m: VEIL * len(m[0]), line)
    return line


def shown(line: str, start: int = 0, stop: int | None = None) -> Shown:
    """What a stretch of a line shows."""
    stop = len(line) if stop is None else stop
    line = plain(line)
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
