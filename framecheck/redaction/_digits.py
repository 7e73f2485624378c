"""The digits of one octet written anew, as the log writes them: base, width, case, escapes."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

_BASES = {16: "x", 10: "d", 8: "o", 2: "b"}
_ESCAPE = 0x7D
_CASE = 0x20
_PAIR = re.compile(r"([0-9a-fA-F]{2})(\D*?[^0-9a-fA-F]*?)([0-9a-fA-F]{2})")
_OCTAL = re.compile(r"\\([0-7]{3})")
_NAMED = {"n": 10, "r": 13, "t": 9, "a": 7, "b": 8, "f": 12, "v": 11, "0": 0}


class Script(NamedTuple):
    """How a dump writes its octets."""

    base: int
    upper: bool
    padded: bool
    """Whether short numbers have zeros in front."""
    right: bool
    """Whether numbers of different width end, rather than begin, in one column."""
    packed: bool = False
    """Whether the widest of them leave no blank between them."""
    signed: bool = False
    """Whether octets from 128 on are written as negative numbers."""


def script(pairs: Sequence[tuple[str, int]], ends: Sequence[Sequence[int]]) -> Script:
    """The way that fits most octets. ``pairs``: characters and value of each octet."""
    fits: Counter[int] = Counter()
    for text, value in pairs:
        for base in _BASES:
            if read(text, base) == value:
                fits[base] += 1
    base = max(_BASES, key=lambda b: (fits[b], b)) if fits else 16
    letters = "".join(t for t, _ in pairs)
    upper = sum(c in "ABCDEF" for c in letters) > sum(c in "abcdef" for c in letters)
    widths = {len(t) for t, v in pairs if read(t, base) == v}
    zeros = any(len(t) > 1 and t[0] == "0" for t, v in pairs if read(t, base) == v)
    steps = {b - a for row in ends for a, b in pairwise(row)}
    right = len(widths) > 1 and len(steps) == 1
    packed = right and steps == {max(widths)}
    signed = base == 10 and any(t[:1] == "-" for t, _ in pairs)
    return Script(base, upper, len(widths) == 1 or zeros, right, packed, signed)


def read(text: str, base: int) -> int | None:
    """The octet that plain digits say, None when they say none."""
    negative = base == 10 and text[:1] == "-"
    digits = text[negative:]
    if not digits or not digits.isascii() or not digits.isalnum():
        return None
    try:
        number = int(digits, base)
    except ValueError:
        return None
    if negative:
        return 256 - number if 0 < number <= 128 else None
    return number if number < 256 else None


def written(text: str, old: int, new: int, how: Script) -> str | None:
    """The characters for ``new`` where ``text`` stood for ``old``; None when there are none."""
    if read(text, how.base) == old:
        return _number(text, new, how)
    if not text:
        return f"{new:02x}" if new else ""
    if (m := _OCTAL.fullmatch(text)) and int(m[1], 8) == old:
        return f"\\{new:03o}"
    if len(text) == 1 and ord(text) == old:
        plain = 0x20 <= new < 0x7F and chr(new) not in "\"'\\"
        return chr(new) if plain else f"\\x{new:02x}"
    if len(text) == 2 and text[0] == "\\":
        return f"\\x{new:02x}"
    for base in _BASES:
        if read(text, base) == old:
            return _number(text, new, how._replace(base=base, padded=len(text) > 1))
    return _escaped(text, old, new) or _broken(text, old, new, how)


def _number(text: str, new: int, how: Script) -> str:
    if text[0] == "-" or (how.signed and how.base == 10):
        return str(new - 256 if new > 127 else new)
    upper = any(c in "ABCDEF" for c in text) or (how.upper and text.isdigit())
    width = len(text) if how.padded else 1
    shown = f"{new:0{width}{_BASES[how.base]}}"
    return shown.upper() if upper else shown


def _escaped(text: str, old: int, new: int) -> str | None:
    """An octet of PPP behind its escape (RFC 1662 4.2)."""
    m = _PAIR.fullmatch(text)
    if not m or int(m[1], 16) != _ESCAPE or int(m[3], 16) != old ^ _CASE:
        return None
    shown = f"{new ^ _CASE:02x}"
    return m[1] + m[2] + (shown.upper() if m[3] != m[3].lower() else shown)


def _broken(text: str, old: int, new: int, how: Script) -> str | None:
    """Digits that the console broke: each changes by the bits by which the octet does."""
    if how.base != 16 or not 1 <= len(text) <= 3:
        return None
    turn = f"{old ^ new:02x}"[-len(text) :].rjust(len(text), "0")
    out = []
    for c, by in zip(text, turn, strict=True):
        if c in "0123456789abcdefABCDEF":
            shown = f"{int(c, 16) ^ int(by, 16):x}"
            out.append(shown.upper() if c.isupper() else shown)
        else:
            out.append(c)
    return "".join(out)
