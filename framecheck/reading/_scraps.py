"""Scraps: lines beside a dump that hold part of a row, and that no dump has."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache

from framecheck.reading._shape import Shape

_CELLS = re.compile(r"[0-9A-Fa-fxX\s:,;./|\-\[\]()]*")
_DIGITS = re.compile(r"(?<![0-9A-Za-z_])(?:0[xX])?([0-9A-Fa-f]+)(?![0-9A-Za-z_])")
_PAIR = re.compile(r"(?<![0-9A-Za-z_:.\-])[0-9A-Fa-f]{2}(?![0-9A-Za-z_:.\-])")
_RUN = re.compile(r"[0-9A-Fa-f]{8,}")
_FEWEST = 3
_MOST = 400
"""Characters of a line that are looked at."""


def only_octets(text: str) -> int:
    """How many octets a line prints that holds nothing but their digits; else 0."""
    groups = _DIGITS.findall(text[:_MOST])
    return -(-len("".join(groups)) // 2) if _CELLS.fullmatch(text[:_MOST]) else 0


def are_numbers(octets: bytes) -> bool:
    """Whether octets look like decimal numbers of two digits, none of them small, and no text."""
    text = octets.hex()
    return (
        len(octets) >= _FEWEST and text.isdigit() and "0" not in text[::2] and len({*text[::2]}) > 2
    )


def is_cells(text: str, shape: Shape) -> bool:
    """Whether a line is nothing but a few groups of digits of this shape."""
    groups = _DIGITS.findall(text[:_MOST])
    if not shape.gaps:
        return len(groups) == 1 and len(groups[0]) >= 8 and bool(_CELLS.fullmatch(text[:_MOST]))
    size = 2 * shape.group
    few = len(groups) > 2 and all(len(g) == size for g in groups[1:-1])
    return few and bool(_CELLS.fullmatch(text[:_MOST]))


def is_scrap(text: str, shape: Shape, *, top: bool = False) -> bool:
    """Whether a line looks like part of a row of this shape, broken off or run into a message.

    ``top``: it is the log's first line, whose front may be cut off.
    """
    return _is_scrap(text[:_MOST], shape, top)


@lru_cache(maxsize=64)  # a title is asked for the dump behind it, and for the one in front
def _is_scrap(text: str, shape: Shape, top: bool) -> bool:
    front = re.match(shape.lead_pattern, text) if shape.lead.strip() else None
    rest = text[front.end() :] if front else text
    groups = _DIGITS.findall(rest)
    if not shape.gaps and (_RUN.match(rest) or re.search(r"[0-9A-Fa-f]{8,}$", rest)):
        return True
    if _CELLS.fullmatch(rest):
        # A lone number may be the last offset, or a length.
        digits = len("".join(groups))
        return len(groups) > 1 or (not shape.offset and digits > (0 if top else 1))
    size = 2 * shape.group
    if not shape.gaps:
        return False
    if top and _PAIR.search(rest):
        return True
    return has_run(rest, shape, _FEWEST if size == 2 else 2) or _begins(rest, shape)


def _begins(text: str, shape: Shape) -> bool:
    """Whether a line begins with a few groups of two digits, which are no number."""
    if shape.offset or shape.group != 1:
        return False
    found = re.match(rf"([0-9A-Fa-f]{{2}}){re.escape(shape.gaps[0])}([0-9A-Fa-f]{{2}}\b)?", text)
    return found is not None and (bool(found[2]) or found[1][0] == "0")


def has_run(text: str, shape: Shape, few: int) -> bool:
    """Whether so many groups of this shape stand behind one another somewhere in a line."""
    search = _run(2 * shape.group, shape.gaps, few)
    return search is not None and search(text[:_MOST]) is not None


@lru_cache(maxsize=16)
def _run(
    size: int, gaps: tuple[str, ...], few: int
) -> Callable[[str], re.Match[str] | None] | None:
    """The search for so many groups of so many digits; None where nothing parts them."""
    unit = rf"(?:0[xX])?[0-9A-Fa-f]{{{size}}}"
    marks = "|".join(sorted({re.escape(g) for g in gaps if g}, key=len, reverse=True))
    if not marks:
        return None
    if ":" in marks:
        few += 1  # a time of day is three pairs
    return re.compile(rf"(?<![0-9A-Za-z_]){unit}(?:(?:{marks}){unit}){{{few - 1}}}").search
