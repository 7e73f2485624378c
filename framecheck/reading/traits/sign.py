"""``ffffffc0``: an octet printed as a wider number that has its sign, as C widens a ``char``."""

from __future__ import annotations

import re

from framecheck.reading._lines import Line, Piece

_SIGN = re.compile(
    r"(?<![0-9A-Za-z_])(?:0[xX])?(ffffff|FFFFFF)(?=[89A-Fa-f][0-9A-Fa-f](?![0-9A-Za-z_]))"
)
_OCTET = re.compile(r"(?<![0-9A-Za-z_])(?:0[xX])?[0-9A-Fa-f]{2}(?![0-9A-Za-z_])")
_WORD = re.compile(r"[ ,;](?:0[xX])?[0-9A-Fa-f]{8}(?![0-9A-Za-z_])")
_PLAIN = re.compile(r"[ ,;](?:0[xX])?(?!(?:ffffff|FFFFFF)[89A-Fa-f])[0-9A-Fa-f]{8}(?![0-9A-Za-z_])")
"""A word that is no octet with its sign."""
_FEWEST = 2


def unsigned(line: Line, sure: bool) -> Line:
    """The line without the digits that are only a sign, where octets stand among them.

    ``sure``: a dump of single octets is open, so that a row may hold nothing else.
    """
    text = line.text
    if _PLAIN.search(text):
        return line  # memory words
    found = [m.span(1) for m in _SIGN.finditer(text)]
    if not found or line.pieces:
        return line
    kept: list[str] = []
    pieces: list[Piece] = []
    at = last = 0
    for start, stop in (*found, (len(text), len(text))):
        kept.append(text[last:start])
        # What is left out belongs to the piece in front of it.
        size = stop - last if stop < len(text) else line.size - last
        pieces.append(Piece(at, line.number, last, line.start + last, size))
        at += start - last
        last = stop
    bare = "".join(kept)
    few = len(_OCTET.findall(bare)) < len(found) + _FEWEST
    if _WORD.search(bare) or (few and not sure):
        return line  # memory words
    return line._replace(text=bare, pieces=tuple(pieces))
