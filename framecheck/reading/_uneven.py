"""Octets whose digits are not all two: hex without leading zeros, other bases, literals.

Such a line looks like any list of numbers, so it is read only where at least fourteen of them
stand in a row, and taken for a dump only with a length near by or with contents that say so.
"""

from __future__ import annotations

import re

from framecheck.reading._lines import Line
from framecheck.reading._reading import Reading, Stretch
from framecheck.reading._wanted import wanted

UNPADDED = "hex without leading zeros"
DECIMAL = "decimal"
LITERAL = "string literal"
OCTAL = "octal"
UNEVEN = (UNPADDED, DECIMAL, OCTAL, LITERAL)
_OCTAL = set("01234567")
FEWEST = 14
_SHORTEST = 60
ESCAPES = 3
"""Escapes by which a literal is one of octets."""

_ONE = r"-?(?:0[xX])?[0-9A-Fa-f]{1,3}"
_BETWEEN = r"['\"]?(?:[ \t]{1,3}|[ \t]?[,;:/|][ \t]{0,3})['\"]?"
_LIST = re.compile(rf"(?<![0-9A-Za-z_.]){_ONE}(?:{_BETWEEN}{_ONE}){{13,}}(?![0-9A-Za-z_]|\.\d)")
_DOTTED = re.compile(r"(?<![0-9A-Za-z_.\-])\d{1,3}(?:\.\d{1,3}){13,}(?![0-9A-Za-z_.])", re.ASCII)
_NUMBER = re.compile(r"(-?)(0[xX])?([0-9A-Fa-f]+)")
LOOKS = (
    r"(?<![0-9A-Za-z_.])"
    r"(?:(?:-?(?:0[xX])?[0-9A-Fa-f]{1,3}['\"]?(?:[ \t]{1,3}|[,;:/|] {0,3})['\"]?){13}"
    r"|(?:[0-9]{1,3}\.){13}[0-9])"
)
"""A pattern of lines with such a list: a cheap look."""
ESCAPED = r"\\(?:x[0-9A-Fa-f]{2}|u00[0-9A-Fa-f]{2}|[0-9]{3})"
"""An octet's escape in a literal."""
_QUOTED = re.compile(rf"[bB]?(['\"])((?:{ESCAPED}|\\[^xu]|[ -\[\]-~])*?)\1")
_PIECE = re.compile(r"\\(?:x|u00)([0-9A-Fa-f]{2})|\\([0-7]{3})|\\([nrtabfv0\\'\"])|([ -\[\]-~])")
_THREES = re.compile(r"(?:\\[0-9]{3}|[ -!#-\[\]-~]|\\[\\'\"])+", re.ASCII)
_THREE = re.compile(r"\\([0-9]{3})|\\?(.)")
_NAMED = {"n": 10, "r": 13, "t": 9, "a": 7, "b": 8, "f": 12, "v": 11, "0": 0}


def uneven(line: str) -> list[Reading]:
    """The ways to read a line as octets of uneven width; empty for most lines."""
    out = literals(line, FEWEST, ESCAPES)
    if out:
        return out
    listed = _LIST.search(line) or _DOTTED.search(line)
    if listed:
        out.extend(_listed(line, listed))
    return out


def uncut(reading: Reading, line: Line) -> Reading:
    """The reading without a last number that the end of the log may have cut."""
    own = wanted(reading.octets)
    cut = reading.notation in (UNPADDED, DECIMAL, OCTAL) and not line.ended
    whole = own is not None and len(reading.octets) >= max(own, _SHORTEST)
    if not cut or whole or reading.ends[-1] <= len(line.text):
        return reading
    start, stop = reading.groups[-1]
    return reading._replace(
        groups=reading.groups[:-1],
        octets=reading.octets[:-1],
        columns=reading.columns[:-1],
        ends=reading.ends[:-1],
        tail=reading.groups[-2][1],
        dropped=tuple(range(start, stop)),
    )


def _listed(line: str, m: re.Match[str]) -> list[Reading]:
    """A list of numbers, in each base in which all of them are octets and not all pairs."""
    found = list(_NUMBER.finditer(line, m.start(), m.end()))
    spans = [n.span(3) for n in found]
    widths = {b - a for a, b in spans}
    signed = any(n[1] for n in found)
    out = []
    if widths == {2} and not signed:
        return []
    if not signed and widths <= {1, 2}:
        octets = bytes([int(n[3], 16) for n in found])
        out.append(_reading(line, UNPADDED, spans, octets))
    if any(n[2] or not n[3].isdigit() for n in found):
        return out
    numbers = [int(n[1] + n[3]) for n in found]
    high = 256 if min(numbers) >= 0 else 128
    if min(numbers) >= -128 and max(numbers) < high:
        # Below zero are the octets of a language whose octets have a sign.
        signs = [(n.start(), n.end()) for n in found]
        out.append(_reading(line, DECIMAL, signs, bytes([n & 0xFF for n in numbers])))
    if widths == {3} and not signed and all(set(n[3]) <= _OCTAL for n in found):
        octal = [int(n[3], 8) for n in found]
        if max(octal) < 256:
            out.append(_reading(line, OCTAL, spans, bytes(octal)))
    return out


def literals(line: str, fewest: int, escapes: int = 0, *, decimal: bool = False) -> list[Reading]:
    """String literals of so many octets at least, of which so many are escapes.

    ``decimal``: whether three digits behind a backslash are decimal, also where they do not say
    so themselves.
    """
    found: list[Reading] = []
    if escapes and "\\" not in line:
        return found
    for m in _QUOTED.finditer(line):
        if m[2].count("\\") < escapes:
            continue
        reading = _in_decimal(line, m) if decimal or _says_decimal(m[2]) else _literal(line, m)
        if reading and len(reading.octets) >= fewest:
            found.append(reading)
    return found


def _literal(line: str, m: re.Match[str]) -> Reading | None:
    spans: list[Stretch] = []
    octets = bytearray()
    for piece in _PIECE.finditer(line, m.start(2), m.end(2)):
        start, stop = piece.span()
        if piece[1]:
            octets.append(int(piece[1], 16))
            start = stop - 2
        elif piece[2]:
            if int(piece[2], 8) > 255:
                return None
            octets.append(int(piece[2], 8))
            start += 1
        elif piece[3]:
            octets.append(_NAMED.get(piece[3], ord(piece[3])))
        else:
            octets.append(ord(piece[4]))
        spans.append((start, stop))
    if not octets:
        return None
    return _literal_of(line, m, spans, octets)


def says_decimal(line: str) -> bool:
    """Whether a literal of a line has escapes that can only be decimal."""
    return any(_says_decimal(m[2]) for m in _QUOTED.finditer(line))


def _says_decimal(text: str) -> bool:
    """Whether all escapes have three digits, and one an 8 or a 9, or more than an octet holds."""
    numbers = [m[1] for m in _THREE.finditer(text) if m[1]] if _THREES.fullmatch(text) else []
    return any(not _OCTAL.issuperset(n) or int(n, 8) > 255 for n in numbers)


def _in_decimal(line: str, m: re.Match[str]) -> Reading | None:
    """A literal whose escapes are three decimal digits each."""
    if not _THREES.fullmatch(m[2]):
        return None
    pieces = list(_THREE.finditer(line, m.start(2), m.end(2)))
    values = [int(piece[1]) if piece[1] else ord(piece[2]) for piece in pieces]
    if not values or max(values) > 255:
        return None
    spans = [(piece.start() + bool(piece[1]), piece.end()) for piece in pieces]
    return _literal_of(line, m, spans, bytes(values))


def _literal_of(
    line: str, m: re.Match[str], spans: list[Stretch], octets: bytes | bytearray
) -> Reading:
    return _reading(line, LITERAL, spans, bytes(octets))._replace(tail=m.end())


def _reading(line: str, notation: str, spans: list[Stretch], octets: bytes) -> Reading:
    return Reading(
        line,
        notation,
        1,
        tuple(spans),
        octets,
        tuple([a + 1 for a, _ in spans]),
        tuple([b + 1 for _, b in spans]),
        tail=spans[-1][1],
    )
