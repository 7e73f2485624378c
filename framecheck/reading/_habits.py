"""What one printer does with every octet, and a row that does it otherwise."""

from __future__ import annotations

import re

from framecheck.core.frame import BROKEN_DIGITS, Doubt
from framecheck.core.span import Range
from framecheck.reading._track import Track
from framecheck.reading._uneven import DECIMAL, LITERAL, OCTAL, UNPADDED

_ESCAPED = "backslash"
"""How the notation of escapes without a whole literal is called."""
_OPENED = re.compile(r"""[^'"]*(?:(['"])[^'"]*\1[^'"]*)*['"]([^'"]*)""").fullmatch
_FEW = 4
"""Characters that are a fault and no habit."""
_PRINTED = frozenset(range(0x21, 0x7F)) - frozenset(b"\\'\"")
"""Octets that a printer which escapes only what it must shows as characters."""


def foreign_characters(track: Track) -> tuple[Doubt, list[Range]] | None:
    """Characters of a literal that stand for themselves, where all other octets are escaped."""
    if not track.shape.notation.startswith(LITERAL) or track.in_pieces:
        return None
    alone: list[int] = []
    escaped = False
    for row, part, text in zip(track.rows, track.parts, track.texts, strict=True):
        for k, (octet, a, b) in enumerate(zip(part, row.columns, row.ends, strict=True)):
            if b - a > 1:
                escaped = escaped or octet in _PRINTED
            elif text[a - 2 : a - 1] != "\\":
                alone.append(row.first + k)
    if not escaped or not 0 < len(alone) <= _FEW:
        return None
    line = next(r.line for r in reversed(track.rows) if r.first <= alone[0])
    other = "parts of escapes: all other octets are escaped, and so are characters"
    doubt = Doubt(BROKEN_DIGITS, f"{len(alone)} characters as octets", other, True, line)
    return doubt, [(max(0, k - 1), k + 2) for k in alone]


def inside_a_literal(track: Track) -> tuple[Doubt, list[Range]] | None:
    """Escapes in a row that stand behind an opened quote and other characters: more of the same."""
    if not track.rows or not track.shape.notation.startswith(_ESCAPED) or track.in_pieces:
        return None
    row, text = track.rows[0], track.texts[0]
    front = _OPENED(text[: max(0, min(row.columns) - 3)])
    if not front or "\\" not in front[2]:
        return None
    other = "further in front: the literal begins there"
    return Doubt("where the row starts", "at its first escape", other, True, row.line), []


def part_number(track: Track) -> tuple[Doubt, list[Range]] | None:
    """A last number that the end of the log may have cut: in decimal any may have more digits."""
    row = track.rows[-1]
    if track.ended or track.shape.notation not in (DECIMAL, OCTAL, UNPADDED):
        return None
    if max(row.ends) <= len(track.texts[-1]):
        return None
    sizes = {b - a for r in track.rows for a, b in zip(r.columns, r.ends, strict=True)}
    if len(sizes) == 1:
        return None
    other = "of more digits: the log ends behind them"
    doubt = Doubt(BROKEN_DIGITS, "the last number, as printed", other, True, row.line)
    return doubt, [(track.total - 1, track.total)]
