"""The tolerant look at one line: every way to read it as octets that is worth a thought."""

from __future__ import annotations

import re
from functools import lru_cache

from framecheck.reading._late import short_first
from framecheck.reading._notation import notations, plain, varying
from framecheck.reading._reading import Gutter, Reading, Stretch
from framecheck.reading._tokens import LONG_DIGITS, Run, runs, tokens
from framecheck.reading._uneven import LITERAL, LOOKS, uneven
from framecheck.reading.traits.gutter import before, judge
from framecheck.reading.traits.offset import IN_PAGE, left_of
from framecheck.reading.traits.offset import before as offset_of
from framecheck.reading.traits.sum import is_sum, stands_apart

_LOOKS = (
    r"(?<![0-9A-Za-z_])(?:0x)?[0-9A-Fa-f]{2,16}[\])]?"
    r"(?:[ \t]*[:\-,;./|>][ \t]*|[ \t]+)[\[(]?(?:0x)?[0-9A-Fa-f]{2}"
    r"|(?<![0-9A-Za-z_])(?:0x)?[0-9A-Fa-f]{16}(?![0-9A-Za-z_])|[0-9A-Fa-f]{28}"
    rf"|{LOOKS}"
)

_COUNT = re.compile(r"[\])>}'\"]?[ \t]*[|:;#/(\[=]{0,2}[ \t]*(\d{1,6})[\])]?[ \t]*")
_NAME = re.compile(r"[A-Fa-f]\d")
"""What may as well be a name as a number: ``e0:``."""
_CLOCK = re.compile(r"(?:[01]\d|2[0-3]):[0-5]\d:[0-6]\d").fullmatch
_MOST_ENDS = 24
_KEPT = 4096
"""Characters of a line whose readings are kept for who looks at it next."""
_NUMBERED = (4, 8)
"""Digits of a word that may be a message's number."""
_MOST_OFFSET = 16
"""Digits of an offset."""


DIGITS = re.compile(r"[0-9]|(?<![0-9A-Za-z])[A-Fa-f]{2,16}(?![A-Za-z])").search
"""A line without this holds no digits of octets at all: the cheapest look."""
MAYBE = re.compile("|".join([_LOOKS, *(n.looks for n in notations() if n.looks)]))
"""A line without this holds no dump's row: a cheap look before the dear one."""


def readings(line: str) -> list[Reading]:
    """Ways to read a line, the likeliest first; empty for chatter."""
    return list(_readings(line)) if len(line) <= _KEPT else _ways(line)


@lru_cache(maxsize=4)
def _readings(line: str) -> tuple[Reading, ...]:
    # A line is looked at by the blocks that it may begin, and then by itself.
    return tuple(_ways(line))


def _ways(line: str) -> list[Reading]:
    others = uneven(line)
    if others and others[0].notation == LITERAL:
        return others
    text, notation = plain(line)
    found = tokens(text)
    if not found:
        return []
    if varying(notation):
        line = text  # what all rows have in common are the blanks
    candidates = sorted(runs(text, found), key=lambda r: -octets_of(r, found))[:3]
    out: list[Reading] = []
    for run in candidates:
        if _is_clock(text, found, run):
            continue
        out.extend(_of_run(line, text, notation, found, run))
    out.extend(others)
    out.sort(key=lambda r: -_rank(r))
    return out


def _is_clock(text: str, found: list[Stretch], run: Run) -> bool:
    """Whether groups are a time of day, as many loggers put it in front of what they log."""
    start, stop = found[run.first][0], found[run.last - 1][1]
    return run.between == ":" and run.last - run.first == 3 and bool(_CLOCK(text[start:stop]))


def octets_of(run: Run, found: list[Stretch]) -> int:
    """How many octets a run of groups prints."""
    return sum(b - a for a, b in found[run.first : run.last]) // 2


def _rank(reading: Reading) -> float:
    rank = float(min(len(reading.octets), 4096))
    if reading.gutter:
        rank += 40 + reading.gutter.bits
    if reading.left:
        rank += 60
    if reading.offset and len(reading.octets) > 3:
        # ``12.001300`` is a clock, not an offset and three octets.
        rank += 8
    if reading.upto is not None:
        rank += 20
    if reading.running is not None:
        rank += 20
    return rank


def _of_run(line: str, text: str, notation: str, found: list[Stretch], run: Run) -> list[Reading]:
    out = []
    offset, upto = offset_of(text, found, run.first, octets_of(run, found))
    groups = found[run.first : run.last]
    single = len(groups) == 1 and offset is None and run.size < LONG_DIGITS
    whole = build(line, notation, groups, run.size, offset, upto)
    out.append(whole)
    if (
        offset is not None
        and upto is None
        and (int(text[offset[0] : offset[1]], 16) or offset[1] - offset[0] == 1)
    ):
        # A number that counts something else: the octets are the same.
        out.append(whole._replace(offset=None))
    first = found[run.first]
    free = offset is None or _NAME.fullmatch(text[slice(*offset)]) or IN_PAGE.match(text)
    alone = free and run.last - run.first > 1 and run.size >= 2
    narrow = first[1] - first[0] <= _MOST_OFFSET
    if alone and narrow and run.between in (" ", ": ", "| "):
        # The first group may be the offset: the octets behind it are another reading.
        value = int(text[first[0] : first[1]], 16)
        if value % 8 == 0 or _may_number(line, text, first):
            rest = found[run.first + 1 : run.last]
            out.append(build(line, notation, rest, run.size, first, None))
    for reading in out[:]:
        if reading.group > 1:
            out.append(turned(reading))
    late = short_first(text, found, run.first, run.last) if run.size > 2 else None
    if late:
        out.append(build(line, notation, late, run.size, None, None))
    out = [with_left(with_tail(r)) for r in out]
    if any(r.left for r in out):
        out = [r for r in out if r.left]
    out.extend(without_sum(out))
    if single:
        return [r for r in out if r.gutter or r.left or run.size == 16]
    # Which octet of a group comes first, only a gutter says here.
    return [r for r in out if r.gutter or r.left or not r.little]


def _may_number(line: str, text: str, first: Stretch) -> bool:
    """Whether a group is as well the number of a message: in decimal, behind other numbers."""
    a, b = first
    words = b - a in _NUMBERED and text[a:b].isdigit() and line[a:b] == text[a:b]
    return words and line[a - 1 : a] == " " and any(c.isdigit() for c in line[:a])


def without_sum(out: list[Reading]) -> list[Reading]:
    """The same rows, their last group taken for a sum of the others where it stands apart.

    Where it is one of the usual sums, the readings with it are taken out of the list.
    """
    found = []
    for reading in out[:]:
        if reading.gutter or reading.little or not stands_apart(reading):
            continue
        fewer = shortened(reading, len(reading.groups) - 1)._replace(summed=True)
        found.append(fewer)
        if is_sum(reading.octets[: len(fewer.octets)], reading.octets[len(fewer.octets) :]):
            out.remove(reading)
    return found


def with_left(reading: Reading) -> Reading:
    """The reading with the gutter in front of its octets, if there is one."""
    if reading.gutter:
        return reading
    found = before(reading.octets, reading.line[: reading.start])
    if not found and reading.offset:
        found = before(reading.octets, reading.line[: reading.offset[0]])
    if not found:
        return reading
    offset = reading.offset
    if offset and offset[1] > found[0] and offset[0] < found[1]:
        offset = None
    if offset is None:
        offset = left_of(reading.line[: found[0]])
    return reading._replace(left=found, offset=offset)


def build(
    line: str,
    notation: str,
    groups: list[Stretch],
    size: int,
    offset: Stretch | None,
    upto: int | None,
) -> Reading:
    """A reading of these groups, without its tail."""
    columns: list[int] = []
    for a, b in groups:
        columns.extend(range(a + 1, b + 1, 2))
    octets = bytes.fromhex("".join([line[a:b] for a, b in groups]))
    return Reading(
        line,
        notation,
        size // 2,
        tuple(groups),
        octets,
        tuple(columns),
        tuple([c + 2 for c in columns]),
        offset,
        upto,
        tail=groups[-1][1],
    )


def turned(reading: Reading) -> Reading:
    """The same characters, with the octets of each group in the other order."""
    order: list[int] = []
    at = 0
    for a, b in reading.groups:
        n = (b - a) // 2
        order.extend(range(at + n - 1, at - 1, -1))
        at += n
    return reading._replace(
        octets=bytes([reading.octets[i] for i in order]),
        columns=tuple([reading.columns[i] for i in order]),
        ends=tuple([reading.ends[i] for i in order]),
        little=not reading.little,
    )


def shortened(reading: Reading, count: int) -> Reading:
    """The same reading with only its first ``count`` groups as octets."""
    groups = reading.groups[:count]
    n = sum(b - a for a, b in groups) // 2
    return reading._replace(
        groups=groups,
        octets=reading.octets[:n],
        columns=reading.columns[:n],
        ends=reading.ends[:n],
        tail=groups[-1][1],
        gutter=None,
        running=None,
    )


def with_tail(reading: Reading) -> Reading:
    """The reading with its gutter or running count; these say where the octets end."""
    best, best_bits = reading, 0.0
    line = reading.line
    total = len(reading.groups)
    lowest = max(1, total - _MOST_ENDS)
    for count in range(total, lowest - 1, -1):
        stop = reading.groups[count - 1][1]
        rest = line[stop:].rstrip()
        if not rest:
            continue
        tried = reading if count == total else shortened(reading, count)
        found = judge(tried.octets, rest)
        bits = found.bits if found else 0.0
        if count < total:
            # Fewer octets must be paid for: every group left out costs.
            bits -= 1.0 * (total - count)
        if found and bits > best_bits:
            best, best_bits = tried._replace(gutter=found), bits
        if not found and total - count <= 2 and best_bits < 6:
            # A count stands apart, by a mark or a wider gap than the octets have.
            apart = rest[:2].isspace() or rest.lstrip("]>)}'\" \t")[:1] in "|:;#/([="
            m = _COUNT.fullmatch(rest.strip()[:16]) if apart else None
            if m and int(m[1]) == len(tried.octets) and len(tried.octets) > 3:
                best, best_bits = tried._replace(running=int(m[1])), 6.0
    return best


def gutter_text(gutter: Gutter | None) -> str:
    """The trait in words."""
    if gutter is None:
        return "no gutter"
    bars = sum(1 for part in (gutter.opening, gutter.closing) if part.strip())
    return ("gutter without bars", "gutter with one bar", "gutter with bars")[bars]
