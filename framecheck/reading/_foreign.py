"""Last rows that are none of a dump's, where nothing counts its rows.

A digest, a list of numbers or the first row of another frame may stand right where a dump ends, or
where the console lost its last row. Such a row tells by what it is not: padding like the octets
before it, an FCS, a row with the gutter of all others.
"""

from __future__ import annotations

from framecheck.reading._track import ETHERTYPES, SHORTEST, STRONG, Track
from framecheck.reading._wanted import has_fcs, wanted

_FCS = 4


def foreign_row(track: Track, octets: bytes) -> str:
    """Why the last row of a dump may be one of something else; empty where it is not."""
    if len(track.rows) < 2 or track.shape.offset or track.block:
        return ""
    if track.shape.gutter is not None:
        other = "it has no characters beside it, as all others have"
        return other if _without_gutter(track) else ""
    if track.claimed_reached and track.parts[-1][12:14] not in ETHERTYPES:
        return ""
    if _begins_another(track, octets):
        return "it begins a frame, where padding should stand"
    if _header_inside(track):
        return "it begins a frame, with an address of this one"
    return "the frame ends in front of it" if _behind_the_end(track, octets) else ""


def _behind_the_end(track: Track, octets: bytes) -> bool:
    """Whether the row's octets stand behind the frame's end, and are neither padding nor FCS.

    A digest looks like a row in which nothing parts the octets, so there it need not be all of it.
    """
    last, total = len(track.parts[-1]), track.total
    own = None if total <= SHORTEST or track.claimed_reached else wanted(octets)
    if own is None or own == total:
        return False
    if own > total - last and (track.shape.gaps or not track.full):
        return False
    start = max(own, total - last)
    if any(octets[own:start]) or not any(octets[start:-_FCS]):
        return False
    return not has_fcs(octets)


def _begins_another(track: Track, octets: bytes) -> bool:
    row = track.parts[-1]
    if row[12:14] not in ETHERTYPES or track.content is None:
        return False
    own = wanted(octets)
    return own is not None and own <= track.total - len(row) and track.content(row) >= STRONG


def _header_inside(track: Track) -> bool:
    """Whether the row, inside the frame's own length, is a header of one of the same hosts."""
    row, first = track.parts[-1], track.parts[0]
    if row[12:14] not in ETHERTYPES or track.content is None:
        return False
    known = row[6:12] in (first[:6], first[6:12])
    return known and row[:6] != row[6:12] and track.content(row) >= STRONG


def _without_gutter(track: Track) -> bool:
    """Whether the row is short and has no gutter, in a dump in which all others have one."""
    if track.full or track.in_pieces or not track.ended:
        return False
    return track.gutter_rows == len(track.rows) - 1
