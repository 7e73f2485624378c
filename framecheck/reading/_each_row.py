"""What a printer says of each row, in front of it or behind it, and a row that keeps not to it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import reduce
from itertools import pairwise
from operator import xor

from framecheck.core.frame import BROKEN_DIGITS, Doubt
from framecheck.core.span import Range
from framecheck.core.sums import ones_sum
from framecheck.reading._track import Track
from framecheck.reading._uneven import LITERAL
from framecheck.reading._wanted import TAGS

Said = tuple[Doubt, list[Range]]
_FEWEST = 3
"""Rows of which two show a habit."""
_SUM = re.compile(
    r"[ \t]{1,4}[*=\[(<|#:]?[ \t]*[0-9A-Fa-f]{0,2}([0-9A-Fa-f]{2})[\])>|]?[ \t]*"
).fullmatch
_SUMS: tuple[Callable[[bytes], int], ...] = (
    lambda part: sum(part) & 0xFF,
    lambda part: -sum(part) & 0xFF,
    lambda part: ~sum(part) & 0xFF,
    lambda part: reduce(xor, part, 0),
)
"""The usual sums of one octet: of the octets, its negatives, and one without carries."""
_HEX = re.compile(r"[0-9A-Fa-f]{1,8}").fullmatch
_FEW_DIGITS = 2
"""Octets of another case that are a fault and no habit."""
_MOST_ROWS = 16
"""Rows that hold a frame's headers."""
_MOST_FOREIGN = 3
"""Rows of another dump that stand there together."""
_IP = 20
"""Octets of IPv4's shortest header."""
_ARP = b"\0\x01\x08\0\x06\x04"
"""Ethernet and IPv4, and the sizes of their addresses."""
_COUNT = re.compile(r"(?<![0-9A-Za-z.:,/\-])(\d{1,6})(?![0-9A-Za-z]|[.:,/\-]\d)")
_NUMBER = re.compile(r"\d+")
_BLANKS = re.compile(r"\s+")


def said_of_rows(track: Track) -> Iterator[Said]:
    """All that is said of a dump's rows here, one by one."""
    for look in (other_sum, other_count, other_rows, other_digits, other_escape):
        said = look(track)
        if said:
            yield said


def other_sum(track: Track) -> Said | None:
    """Rows with a sum behind them that is not theirs, where that of nearly all others is."""
    if len(track.rows) < _FEWEST or track.block or track.in_pieces or track.shape.gutter:
        return None
    if not _SUM(track.texts[0][max(track.rows[0].ends) - 1 :]):
        return None
    behind = [_SUM(t[max(r.ends) - 1 :]) for r, t in zip(track.rows, track.texts, strict=True)]
    said = [(k, int(m[1], 16)) for k, m in enumerate(behind) if m]
    for kind in _SUMS:
        odd = [k for k, value in said if kind(track.parts[k]) != value]
        held = {value for k, value in said if k not in odd}
        if len(held) > 1 and odd and len(odd) * _FEWEST <= len(said):
            row = track.rows[odd[0]]
            other = "others: the sum behind this row is not that of its octets"
            doubt = Doubt(BROKEN_DIGITS, "its octets, as printed", other, True, row.line)
            firsts = [(track.rows[k].first, len(track.parts[k])) for k in odd]
            return doubt, [(first, first + size) for first, size in firsts]
    return None


def other_count(track: Track) -> Said | None:
    """A number in front of each row that counts rows or octets, but for one row."""
    if track.shape.offset or len(track.rows) < _FEWEST or track.block or track.in_pieces:
        return None
    if not _COUNT.search(track.shape.lead):
        return None
    leads = [t[: min(r.columns) - 1] for r, t in zip(track.rows, track.texts, strict=True)]
    if len({_BLANKS.sub("", _NUMBER.sub("", lead)) for lead in leads}) > 1:
        return None
    for values in zip(*[map(int, _COUNT.findall(lead)) for lead in leads], strict=False):
        line = _skips(track, values)
        if line:
            other = "rows of another one, or with some lost between: a number in front counts"
            return Doubt("lost lines", "rows of one dump, none lost", other, True, line), []
    return None


def _skips(track: Track, values: tuple[int, ...]) -> int:
    """The line of the first row whose number does not count on from the row right in front.

    Only a count that begins at nothing or one, or does so again, is one of rows and no clock.
    """
    steps = [b - a for a, b in pairwise(values)]
    for usual in (1, track.shape.per_row):
        most = steps.count(usual) * _FEWEST >= 2 * len(steps)
        # Of two counts that are printed at the same time each goes on.
        follows = (v <= 1 or v - usual in values[:k] for k, v in enumerate(values) if k)
        chained = usual in steps and all(follows)
        if not (most or chained):
            continue
        for (before, row), step, value in zip(pairwise(track.rows), steps, values[1:], strict=True):
            if step != usual and row.line == before.line + 1 and min(values[0], value) <= 1:
                return row.line
    return 0


def other_rows(track: Track) -> Said | None:
    """Rows in front, without which the header that they break is right: another dump's.

    It is IPv4's by its checksum (RFC 791 3.1), or ARP's by its fixed part (RFC 826).
    """
    if track.shape.offset or len(track.rows) < _FEWEST or track.in_pieces:
        return None
    head = track.parts[:_MOST_ROWS]
    if _is_header(b"".join(head)) is not False or _by_one_octet(b"".join(head)):
        return None
    for size in range(1, _MOST_FOREIGN + 1):
        for at in range(len(head) - size):
            if _is_header(b"".join(head[:at] + head[at + size :])):
                other = "one with rows of another one: without them its header is right"
                line = track.rows[at].line
                return Doubt("lost lines", "rows of one dump", other, True, line), []
    return None


def _behind_link(octets: bytes) -> tuple[bytes, bytes]:
    """The type of a frame, behind its tags, and what stands behind it."""
    at = 14
    while octets[at - 2 : at] in TAGS and at < 22:
        at += 4
    return octets[at - 2 : at], octets[at:]


def _by_one_octet(octets: bytes) -> bool:
    """Whether one other octet would make the header right: damage of a transfer, not rows."""
    kind, rest = _behind_link(octets)
    if kind == b"\x08\x06":
        return sum(map(int.__ne__, rest, _ARP)) < _FEW_DIGITS
    # Its 16-bit word differs in the low octet or in the high one, up or down.
    up = ones_sum(rest[: 4 * (rest[0] & 15)]) if rest else 0
    return any(e < 0x100 or e % 0x100 == 0 for e in (up, 0xFFFF - up))


def _is_header(octets: bytes) -> bool | None:
    """Whether a header stands behind the link header and is right; None for other types."""
    kind, rest = _behind_link(octets)
    if kind == b"\x08\x06":
        return rest.startswith(_ARP) if len(rest) >= len(_ARP) else None
    if kind != b"\x08\x00" or len(rest) < _IP:
        return None
    size = 4 * (rest[0] & 15)
    return rest[0] >> 4 == 4 and _IP <= size <= len(rest) and ones_sum(rest[:size]) == 0xFFFF


def other_digits(track: Track) -> Said | None:
    """Octets of a block's dump whose letters are of another case than nearly all others'."""
    notation = track.shape.notation
    if not track.block or track.in_pieces or not any(w in notation for w in (LITERAL, "hex")):
        return None
    literal = notation.startswith(LITERAL)
    found: dict[bool, list[tuple[int, int]]] = {True: [], False: []}
    for row, text in zip(track.rows, track.texts, strict=True):
        for k, (a, b) in enumerate(zip(row.columns, row.ends, strict=True)):
            digits = text[a - 1 : b - 1]
            if digits.isdigit() or (literal and text[a - 3 : a - 1] != "\\x"):
                continue
            if not _HEX(digits):
                return None
            for upper in {c.isupper() for c in digits if c.isalpha()}:
                found[upper].append((row.first + k, row.line))
    fewer, more = sorted(found.values(), key=len)
    if not 0 < len(fewer) <= _FEW_DIGITS or len(more) < _FEWEST * len(fewer):
        return None
    other = "other digits: all the rest is of one case"
    doubt = Doubt(BROKEN_DIGITS, "digits of another case, as printed", other, True, fewer[0][1])
    return doubt, [(k, k + 1) for k, _ in fewer]


def other_escape(track: Track) -> Said | None:
    """An octet that a literal prints otherwise than elsewhere: one printer has one way for each."""
    if not track.shape.notation.startswith(LITERAL) or track.in_pieces:
        return None
    ways: dict[int, dict[str, list[tuple[int, int]]]] = {}
    for row, part, text in zip(track.rows, track.parts, track.texts, strict=True):
        for k, (octet, a, b) in enumerate(zip(part, row.columns, row.ends, strict=True)):
            way = text[a - 3 : a - 1] if b - a == 2 and text[a - 3 : a - 1] == "\\x" else ""
            way = way or ("\\" if "\\" in text[a - 2 : b - 1] else "")
            ways.setdefault(octet, {}).setdefault(way, []).append((row.first + k, row.line))
    for octet, found in ways.items():
        fewer, *more = sorted(found.values(), key=len)
        # Behind an escape in hex a digit has to be one as well (C, from memory).
        if not more or len(fewer) > 1 or len(more[-1]) < _FEWEST or _HEX(chr(octet)):
            continue
        at, line = fewer[0]
        other = "others, more or fewer: elsewhere this one is printed in another way"
        return Doubt("lost octets", "as many as are printed", other, True, line), [(at, at + 2)]
    return None
