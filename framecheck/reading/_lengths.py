"""Lengths that say whether rows are missing: an announced one, the frame's own, and the least."""

from __future__ import annotations

from framecheck.core.frame import Doubt
from framecheck.reading._track import ETHERTYPES, MOST_OCTETS, SHORTEST, WIDTHS, Track
from framecheck.reading._uneven import LITERAL
from framecheck.reading._wanted import TAGS, bare, wanted

_FCS = 4
_MOST_BEHIND = 12
"""Octets that a device leaves behind a frame on one line, uncounted."""
_ROUNDED = (2, 4, 8, 16, 32)
"""A driver's copy may be as long as a whole number of its words."""
_FEWEST = 16
"""Octets of a row to which a length may be rounded up."""
_LINK = 14
_HEADERS = 42
"""Octets of the shortest frame that is not padded: ARP."""
_FEW = 4
"""Octets that one broken escape of a literal makes or takes."""
_TAG = 4
"""Octets of a tag; a frame of 56 octets with padding is one whose tag was taken off."""


def length_doubt(track: Track, octets: bytes, usual: int | None) -> Doubt | None:
    """Whether a dump that the log does not cut is as long as it should be.

    ``usual``: by how much the dump before was shorter than its announced length; drivers count
    octets that they do not print, but always as many.
    """
    claimed = track.claimed
    if claimed in track.facts.claimed and claimed is not None and claimed <= MOST_OCTETS:
        lack = claimed - track.total
        own = wanted(octets)
        # On the wire a frame has 60 octets and its FCS, so a length that counts one has 64.
        short = lack > 0 and ((own is not None and own > track.total) or track.total < SHORTEST)
        short = short or (lack > 0 and own is None and not track.begins(octets))
        uncounted = _FCS if usual is None else usual
        most = track.shape.per_row if len(track.rows) > 1 else _MOST_BEHIND + 1
        if lack == 0 or (lack == uncounted and not short):
            return None
        literal = track.shape.notation.startswith(LITERAL)
        # A mark that is lost makes octets of a literal.
        kept = not literal and not _foreign(track, octets, claimed)
        if -most < lack < 0 and (lack == usual or kept):
            return None
        return _doubt(
            track,
            "length",
            f"the {track.total} octets that are printed",
            f"the {claimed} that a line announces",
        )
    if any(d.decides for d in track.doubts):
        return None
    own = wanted(octets)
    perhaps = _perhaps(track, octets, own)
    if perhaps:
        other = f"the {perhaps} of a number near by"
        return _doubt(track, "length", f"the {track.total} octets that are printed", other)
    if own is None:
        return None
    per_row, total = track.shape.per_row, track.total
    rows = len(track.parts) > 1 and per_row in WIDTHS
    whole = total % per_row == 0
    lack = own - total
    if rows and (lack == per_row or (whole and 0 < lack < per_row)):
        return _doubt(
            track,
            "lost lines",
            f"a frame that arrived {lack} octets short",
            f"a line of {lack} octets that the console lost",
        )
    if not own < total < SHORTEST + _TAG:
        return None
    padded = total < SHORTEST and total != SHORTEST - _TAG
    rounded = any(total == -(-own // n) * n for n in _ROUNDED)
    if octets[12:14] in TAGS and own < SHORTEST < total:
        padded, rounded = True, False
    if padded and (not rounded or (rows and whole and SHORTEST - total <= per_row)):
        return _doubt(
            track,
            "lost lines",
            f"a frame of {total} octets whose padding ends early",
            f"{abs(SHORTEST - total)} octets that the console lost",
        )
    return None


def _perhaps(track: Track, octets: bytes, own: int | None) -> int | None:
    """A number near by that is the frame's length if octets of it are lost.

    It is what the frame's own header says, or counts just the row or the link header that lacks.
    """
    total = track.total
    numbers = (*track.facts.maybe, *_in_front(track))
    if total in numbers:
        return None
    if track.shape.notation.startswith(LITERAL):
        near = next((n for n in numbers if 0 < abs(n - total) <= _FEW), None)
        if near:
            return near
    lacks = []
    if own is not None:
        lacks = [max(own, SHORTEST) - total, own - total]
    elif octets[12:14] in ETHERTYPES:
        lacks = [n - total for n in numbers if n >= _HEADERS > total or n == SHORTEST]
    if len(track.parts) > 1 and (own is None or total not in (own, max(own, SHORTEST))):
        lacks.append(track.shape.per_row)
    if bare(octets) is not None:
        lacks.append(_LINK)
    return next((n for n in numbers if n > total and n - total in lacks), None)


def _in_front(track: Track) -> tuple[int, ...]:
    """The number in front of an only row, which may be no offset, in decimal."""
    value = track.first_value if track.shape.offset and len(track.rows) == 1 else None
    text = f"{value or 0:x}"
    return (int(text),) if value and text.isdigit() else ()


def _foreign(track: Track, octets: bytes, claimed: int) -> bool:
    """Whether octets behind two lengths that agree are no FCS, no rounding, and no fill."""
    more = octets[claimed:]
    if wanted(octets) != claimed or len(more) == _FCS or len(set(more)) == 1:
        return False
    # What is rounded up to whole rows ends with one.
    rows = track.full or len(track.rows) == 1
    rounded = [n for n in _ROUNDED if n < _FEWEST or rows]
    return all(len(octets) != -(-claimed // n) * n for n in rounded)


def _doubt(track: Track, about: str, taken: str, other: str) -> Doubt:
    return Doubt(about, taken, other, True, track.rows[0].line)
