"""Dump or decoy: the evidence of the text in bits, each with its reason.

The weights are common practice of reading logs, no source; the tests' corpus of chatter and the
vectors hold them to account.
"""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

from framecheck.reading._facts import Facts
from framecheck.reading._track import WIDTHS, Track
from framecheck.reading._uneven import DECIMAL, OCTAL, UNPADDED

ENOUGH = 10.0
"""Bits from which a dump is one."""
CLOSE = 5.0
"""Bits from which something that is none is worth a word."""
HASH_OCTETS = (16, 20, 28, 32, 48, 64)


class Evidence(NamedTuple):
    """How much speaks for a dump, and what."""

    bits: float
    reasons: tuple[str, ...]


_PARITIES = bytes(o.bit_count() & 1 for o in range(256))


def text_evidence(track: Track, *, heeds_others: bool = True) -> Evidence:
    """What the text alone says, contents left aside.

    ``heeds_others``: whether words of something else near by speak against it.
    """
    found: list[tuple[float, str]] = []
    shape, rows, total = track.shape, len(track.rows), track.total
    if shape.offset:
        found.append((_offset_bits(track), "an offset column"))
    if track.gutter_rows:
        found.append((min(24.0, track.gutter_bits), "a gutter that repeats the octets"))
    if track.block:
        found.append((track.proof, "lines that agree on their columns"))
    facts = track.facts
    if facts.frame:
        found.append((5.0, "words of frames near by"))
    if facts.other and not facts.frame and heeds_others:
        found.append((-8.0, "words of something else near by"))
    claimed = total in facts.claimed
    if claimed:
        found.append((10.0, "the length that was announced"))
    elif total in facts.maybe and total > 8:
        found.append((5.0, "a number near by that is its length"))
    if total >= 14:
        found.append((3.0, "enough octets for a header"))
    if total >= 42:
        found.append((2.0, "enough octets for a frame"))
    if shape.group == 1 and not shape.notation:
        found.append((2.0, "octets one by one"))
    if shape.upto or shape.counted:
        found.append((6.0, "counts beside the rows"))
    if rows >= 2 and shape.per_row in WIDTHS and not shape.offset:
        found.append((min(6.0, 1.5 * rows) if shape.group == 1 else 2.0, "rows of one width"))
    elif rows >= 2 and not shape.offset and not track.block and not claimed:
        found.append((-4.0, "rows of an unusual width"))
    if rows == 1 and shape.group == 1 and total >= 32:
        found.append((4.0, "a long line of octets"))
    found.extend(_decoys(track, facts if heeds_others else facts._replace(other=False)))
    lone = rows == 1 and total < 8
    if total < 14 and not ((shape.offset and not lone) or claimed or track.gutter_rows):
        found.append((-8.0, "too few octets for a header"))
    return Evidence(sum([b for b, _ in found]), tuple([why for b, why in found if b > 0]))


def _offset_bits(track: Track) -> float:
    shape = track.shape
    if shape.unit == shape.per_row > 1:
        return -4.0  # rows are numbered in any table
    if track.progressed:
        return min(14.0, 5.0 + 2.0 * track.progressed)
    digits = shape.between.strip()
    if shape.offset_digits == 2 * shape.group and shape.between in shape.gaps:
        # It looks like one octet more, and no second row says otherwise.
        return -6.0
    if track.first_value == 0:
        return 5.0 if digits or track.total >= 14 else 2.0
    return 0.0


def _decoys(track: Track, facts: Facts) -> list[tuple[float, str]]:
    found: list[tuple[float, str]] = []
    shape, total = track.shape, track.total
    marks = frozenset() if shape.offset else shape.marks
    bare = not shape.offset and not track.gutter_rows
    if not shape.offset and marks == {":"} and shape.group == 2 and shape.per_row <= 16:
        found.append((-20.0 if total < 42 else -6.0, "IPv6 addresses"))
    if bare and marks <= {"-", "-0x"} and marks and len(shape.gaps) == 1 and len(track.rows) == 1:
        found.append((-12.0, "from one address to another"))
    if not shape.offset and shape.per_row in (6, 8) and marks <= {":", "-"} and "" not in marks:
        found.append((-12.0, "hardware addresses"))
    if not shape.gaps and shape.per_row in HASH_OCTETS and bare:
        found.append(
            (-12.0 if track.behind else -3.0 if facts.frame else -6.0, "a digest's length")
        )
    if words(track):
        far = shape.offset and track.first_value != 0
        found.append((-8.0 if far else -4.0, "words, as of a stack"))
        if facts.other:
            found.append((-8.0, "words of a stack, by its name"))
    if shape.notation in (UNPADDED, DECIMAL, OCTAL):
        found.append((-8.0, "numbers of any kind"))
    if shape.offset and shape.per_row <= 2 and len(track.rows) > 1:
        found.append((-12.0, "a number or two a row, as in a list"))
    if track.behind and total < 14:
        found.append((-12.0, "text behind a few octets"))
    if total >= 12 and bare and not track.letters:
        found.append((-2.0, "no digit above 9"))
    if total >= 14 and is_fill(b"".join(track.parts[:8])):
        found.append((6.0, "one pattern all through"))
    return found


def words(track: Track) -> bool:
    """Whether it is printed as memory words are: groups of four or more, nothing beside them."""
    return track.shape.group >= 4 and not track.gutter_rows and bool(track.shape.gaps)


def is_fill(octets: bytes) -> bool:
    """Whether octets repeat, count, or keep one parity: what a test writes into a buffer."""
    octets = octets[:128]
    if octets[:-1] == octets[1:] or (octets[:-26] == octets[26:] and len(octets) > 38):
        return True
    step = (octets[1] - octets[0]) & 0xFF
    # Letters step by one, and back from Z to A.
    if step in (0, 1, 0xE7) and all((b - a) & 0xFF in (step, 0xE7) for a, b in pairwise(octets)):
        return True
    parities = octets.translate(_PARITIES)
    return len(octets) >= 20 and parities == parities[:1] * len(parities)
