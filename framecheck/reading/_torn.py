"""Rows of a block that stop before the frame does: what stands beside them may be more of it."""

from __future__ import annotations

import re

from framecheck.core.frame import Doubt
from framecheck.reading._block import Content, Found
from framecheck.reading._scraps import only_octets
from framecheck.reading._track import ETHERTYPES, SHORTEST, STRONG, Track
from framecheck.reading._wanted import bare, wanted

_PAIR = re.compile(r"(?<![G-Zg-wyz_])[0-9A-Fa-f]{2}")
_RUN = re.compile(
    r"(?<![0-9A-Za-z])[0-9A-Fa-f]{2}(?:([ :\-,]{1,2})[0-9A-Fa-f]{2}(?:\1[0-9A-Fa-f]{2})*)"
)
_HEX = re.compile(r"(?:[0-9A-Fa-f]{2}){4,}").fullmatch
_CLOSING = " \t)]};"
_MANY = 14
"""Gaps between the octets of rows among which one that is unlike all others is no habit."""
_ADDRESS = 6
_HALF = 4
"""Octets that some printers set apart in a row, or a multiple of them."""
_FEW = 2
_LOOKED = 400
"""Characters of a line that are looked at."""


def lack(octets: bytes) -> int:
    """Octets that a frame has too few by its own header; of one that ends inside it, to the least.

    0 where nothing says that any are absent.
    """
    own, total = wanted(octets), len(octets)
    if own is None and octets[12:14] in ETHERTYPES:
        own = SHORTEST
    return max(0, (own or 0) - total)


def _is_padding(text: str) -> bool:
    """Whether a line is zeros, but for a character that the console changed."""
    rest = [c for c in text[:_LOOKED] if c not in " 0x,:"]
    return len(rest) <= 1 and text.count("00") > _FEW


def goes_on(octets: bytes, text: str) -> bool:
    """Whether a line may hold more of a frame that lacks octets: nothing but them, or many."""
    short = lack(octets)
    if not short and wanted(octets) == len(octets) < SHORTEST:
        short = SHORTEST - len(octets) if _is_padding(text) else 0
    if not short:
        return False
    short = max(short, SHORTEST - len(octets))
    if 0 < only_octets(text.rstrip(_CLOSING)) <= short or _is_padding(text):
        return True
    runs = [len(m[0]) // (2 + len(m[1])) for m in _RUN.finditer(text[:_LOOKED])]
    return any(_ADDRESS < n <= short for n in runs)


def cut_short(found: Found, content: Content | None) -> Found:
    """A frame that lacks octets, doubted where digits stand behind the last that were read."""
    octets = b"".join([row.octets for row in found.rows])
    last = found.rows[-1]
    if content is None or last.line.pieces or len(last.octets) < _FEW:
        return found
    text, end = last.line.text, max(last.ends) - 1
    rest, gap = text[end : end + _LOOKED], text[last.ends[-2] - 1 : last.columns[-1] - 1]
    padded = wanted(octets) == len(octets) < SHORTEST and _is_padding(rest)
    if not (lack(octets) or padded):
        return found
    if content(octets) < STRONG or any(d.decides for d in found.doubts):
        return found
    odd = _odd_row(found)
    if odd:
        other = "more: something else than in all other places stands between two of this row"
        doubt = Doubt("lost octets", "those that are printed", other, True, odd)
        return found._replace(doubts=(*found.doubts, doubt))
    if not (_PAIR.search(rest) or (gap.strip() and rest.startswith(gap))):
        return found
    other = "further on: digits stand behind it, and the frame is not whole"
    taken = f"behind {len(octets)} octets"
    doubt = Doubt("where the dump ends", taken, other, True, last.line.number)
    return found._replace(doubts=(*found.doubts, doubt))


def _odd_row(found: Found) -> int:
    """The line of a row with a gap that no other place has, nor the middle of a row; else 0."""
    places: dict[str, list[tuple[int, int]]] = {}
    for row in found.rows:
        if len(row.octets) <= _ADDRESS or row.line.pieces:
            continue
        for k, (b, a) in enumerate(zip(row.ends, row.columns[1:], strict=False), 1):
            places.setdefault(row.line.text[b - 1 : a - 1], []).append((row.line.number, k))
    sizes = sorted(map(len, places.values()))
    if len(sizes) != _FEW or sizes[0] > 1 or sizes[1] < _MANY:
        return 0
    ((line, k),) = min(places.values(), key=len)
    return line if k % _HALF else 0


def begins_one_more(track: Track) -> bool:
    """Whether all that parts octets, marks of a number too, stands behind the last one.

    A mark alone says so where it stands behind it again and again.
    """
    gap, end = track.shape.gaps[0].strip(), max(track.rows[-1].ends) - 1
    if len(track.rows) == 1 and lack(track.octets):
        again = track.texts[0].count(track.shape.gaps[0], end, end + _LOOKED)
        if gap and again > _FEW:
            return True
    return len(gap) > 1 and track.texts[-1].startswith(gap, end)


def type_in_front(track: Track, octets: bytes) -> bool:
    """Whether a datagram's type stands in front of it, behind another group, as octets do."""
    shape = track.shape
    if len(track.rows) > 1 or shape.offset or track.block or bare(octets) is None:
        return False
    groups = shape.lead.split(shape.gaps[0]) if shape.gaps and shape.gaps[0] else []
    if len(groups) < _FEW + 1 or groups[-1]:
        return False
    front = "".join(groups[-_FEW - 1 :])
    return _HEX(front) is not None and bytes.fromhex(front[-4:]) in ETHERTYPES
