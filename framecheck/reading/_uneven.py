"""Octets whose digits are not all two: hex without leading zeros, decimal lists, literals.

Such a line looks like any list of numbers, so it is read only where at least fourteen of them
stand in a row, and taken for a dump only with a length near by or with contents that say so.
"""

from __future__ import annotations

import re

from framecheck.reading._reading import Reading, Stretch

UNPADDED = "hex without leading zeros"
DECIMAL = "decimal"
LITERAL = "string literal"
UNEVEN = (UNPADDED, DECIMAL, LITERAL)
FEWEST = 14

_HEX_LIST = re.compile(
    r"(?<![0-9A-Za-z_.])[0-9A-Fa-f]{1,2}(?:(?: |, ?|:)[0-9A-Fa-f]{1,2}){13,}(?![0-9A-Za-z_])"
)
_DECIMAL_LIST = re.compile(
    r"(?<![0-9A-Za-z_.])-?\d{1,3}(?:(?:[;,] ?| )-?\d{1,3}){13,}(?![0-9A-Za-z_.])", re.ASCII
)
_NUMBER = re.compile(r"-?[0-9A-Fa-f]+")
_QUOTED = re.compile(r"[bB]?(['\"])((?:\\x[0-9A-Fa-f]{2}|\\[^x]|[ -\[\]-~])*?)\1")
_PIECE = re.compile(r"\\x([0-9A-Fa-f]{2})|\\([nrtabfv0\\'\"])|([ -\[\]-~])")
_NAMED = {"n": 10, "r": 13, "t": 9, "a": 7, "b": 8, "f": 12, "v": 11, "0": 0}


def uneven(line: str) -> list[Reading]:
    """The ways to read a line as octets of uneven width; empty for most lines."""
    out: list[Reading] = []
    if "\\x" in line:
        for m in _QUOTED.finditer(line):
            reading = _literal(line, m)
            if reading:
                out.append(reading)
        if out:
            return out
    listed = _HEX_LIST.search(line)
    if listed:
        spans = _spans(listed)
        if any(b - a == 1 for a, b in spans):
            octets = bytes([int(line[a:b], 16) for a, b in spans])
            out.append(_reading(line, UNPADDED, spans, octets))
    listed = _DECIMAL_LIST.search(line)
    if listed:
        spans = _spans(listed)
        numbers = [int(line[a:b]) for a, b in spans]
        high = 256 if min(numbers) >= 0 else 128
        if min(numbers) >= -128 and max(numbers) < high and len({b - a for a, b in spans}) > 1:
            # Below zero are the octets of a language whose octets have a sign.
            out.append(_reading(line, DECIMAL, spans, bytes([n & 0xFF for n in numbers])))
    return out


def _spans(m: re.Match[str]) -> list[Stretch]:
    return [(m.start() + n.start(), m.start() + n.end()) for n in _NUMBER.finditer(m[0])]


def _literal(line: str, m: re.Match[str]) -> Reading | None:
    spans: list[Stretch] = []
    octets = bytearray()
    at = m.start(2)
    for piece in _PIECE.finditer(m[2]):
        start, stop = at + piece.start(), at + piece.end()
        if piece[1]:
            octets.append(int(piece[1], 16))
            start = stop - 2
        elif piece[2]:
            octets.append(_NAMED.get(piece[2], ord(piece[2])))
        else:
            octets.append(ord(piece[3]))
        spans.append((start, stop))
    if len(octets) < FEWEST or m[2].count("\\x") < 3:
        return None
    return _reading(line, LITERAL, spans, bytes(octets))


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
