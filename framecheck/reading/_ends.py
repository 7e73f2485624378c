"""What only another dump of the log tells of one that is printed on one line.

A blank behind the last octet may be the printer's, or all that is left of the octets that the
console lost; words in front of the first may be a title on the same line, or one whose end is lost
with octets. Such a dump waits for the next one like it.
"""

from __future__ import annotations

from framecheck.core.frame import BROKEN_DIGITS, Doubt, Dump
from framecheck.core.span import common
from framecheck.reading._finish import Finished
from framecheck.reading._irregular import FEW_LACK, better_behind_more, short_end
from framecheck.reading._lengths import length_doubt
from framecheck.reading._track import Track
from framecheck.reading._wanted import wanted

_FCS = 4
_LETTERS = 3
"""Letters in front of octets that may be a title's."""
_GROUPS = (b"\x01\x00\x5e", b"\x33\x33", b"\x01\x80\xc2")
"""What groups of IPv4, IPv6 and bridges begin with (RFC 1112 6.4, RFC 2464 7, IEEE 802.1D 7.12)."""
_LOW = 0x0F
_BLANK_BEHIND = "further on: a blank stands there that other dumps do not have"
_LONE_BLANK = "further on: a blank stands there, and no other dump says whether it is usual"


def may_go_on(done: Finished) -> bool:
    """Whether a frame of one line lacks octets, or a digit, where a blank or a title stands."""
    track, dump = done.track, done.dump
    if dump is None or track.shape.offset or any(d.decides for d in dump.doubts):
        return False
    titled = sum(c.isalpha() for c in track.shape.lead) >= _LETTERS
    first = titled and track.new_lead and not track.claimed_reached
    if dump.at_edge or track.usual_end is not None:
        return first and _other_first_digit(dump.octets)
    lacks = _lack(track, dump) > 0 and bool(short_end(track))
    return (
        track.counts_more or lacks or first or (titled and better_behind_more(track, dump.octets))
    )


def counts_fcs(track: Track) -> bool:
    """Whether a line announces as many octets more than are printed as an FCS has."""
    claimed = track.claimed
    return claimed in track.facts.claimed and claimed == track.total + _FCS


def _counted_all(track: Track, dump: Dump, done: Finished) -> Doubt | None:
    """A doubt where the other dump, of the same direction, has all octets that were announced."""
    other = done.dump
    if other is None or not track.counts_more or any(d.decides for d in other.doubts):
        return None
    if other.direction != dump.direction or other.claimed_length != done.track.total:
        return None
    return length_doubt(track, dump.octets, 0)


def _lack(track: Track, dump: Dump) -> int:
    """Octets that the frame's own header states and that are not there."""
    own = wanted(dump.octets)
    return 0 if own is None else max(0, own - track.total)


def tells(waiting: Finished, done: Finished) -> bool:
    """Whether a dump is printed like the one that waits."""
    a, b = waiting.track.shape, done.track.shape
    return not b.offset and a.gaps[:1] == b.gaps[:1] and (a.group == b.group or not a.gaps)


def told(waiting: Finished, done: Finished | None) -> Finished:
    """The dump that waited, doubted where the other one has nothing in front, or behind.

    ``done``: the other one; None where there is none like it.
    """
    track, dump = waiting.track, waiting.dump
    if dump is None:
        return waiting
    doubts: list[Doubt] = []
    if done and _titled_otherwise(track, dump, done.track):
        other = "further in front: other dumps have such words in a line of their own"
        doubts.append(_doubt("where the row starts", "at its first octet", other, track))
    elif _alone(track, done.track if done else None) and _other_first_digit(dump.octets):
        other = "another: in it alone the destination begins unlike an address of its kind"
        doubts.append(_doubt(BROKEN_DIGITS, "the first digit, as printed", other, track))
        dump = dump._replace(doubtful=common([(0, 1), *dump.doubtful], [(0, track.total)]))
    length = _counted_all(track, dump, done) if done else None
    if length:
        doubts.append(length)
    lone = done is None and 0 < _lack(track, dump) <= FEW_LACK
    blank = lone and short_end(track) in track.shape.gaps
    if done:
        blank = bool(short_end(track)) and short_end(done.track) == ""
    if blank and not dump.at_edge:
        taken, other = f"behind {track.total} octets", _BLANK_BEHIND if done else _LONE_BLANK
        doubts.append(_doubt("where the dump ends", taken, other, track))
    return waiting._replace(dump=dump._replace(doubts=(*dump.doubts, *doubts)))


def _alone(track: Track, other: Track | None) -> bool:
    """Whether words stand in front of octets, and no other dump has the like there."""
    pattern = track.shape.lead_pattern
    return bool(track.shape.lead.strip()) and (not other or other.shape.lead_pattern != pattern)


def _titled_otherwise(track: Track, dump: Dump, other: Track) -> bool:
    """Whether words stand in front of octets that stand in front of no octets of another dump.

    Where nothing but the words speaks against the octets, that one begins with the same words.
    """
    if not track.shape.lead.strip() or other.shape.lead.strip():
        return False
    lead = "".join([c for c in track.shape.lead if c.isalpha()])
    if len(lead) >= _LETTERS and other.title.startswith(lead):
        return True
    return _lack(track, dump) > 0 or better_behind_more(track, dump.octets)


def _other_first_digit(octets: bytes) -> bool:
    """Whether another first digit would give the destination what addresses like it begin with.

    That is the maker's part of the source, or what a group address of a known kind begins with.
    """
    first, maker = octets[:3], octets[6:9]
    return any(
        first[: len(known)] != known
        and first[1 : len(known)] == known[1:]
        and (first[0] ^ known[0]) & _LOW == 0
        for known in (maker, *_GROUPS)
        if len(first) == len(maker) == len(_GROUPS[0])
    )


def _doubt(about: str, taken: str, other: str, track: Track) -> Doubt:
    return Doubt(about, taken, other, True, track.rows[-1].line)
