"""Residue: octets that still hold what the buffer held before, with a probability for each.

An octet that equals the buffer's old content speaks for "unwritten" by as much as that value is
rare among what a frame holds there: everything when another octet was sent, nothing when this one
was, eight bits or so when nobody knows. What a matching sum covers was written. Zeros, of which
frames are full, say nothing unless what was sent is known.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from framecheck.core.span import Range, common, each, runs
from framecheck.damage import Fill
from framecheck.evidence._states import Edge, posterior

_WRONG = 0.001 / 255
"""Chance of one certain wrong value in place of the right one."""
_SUSPECTED = 1 / 400
"""Chance that an unwritten octet follows, where a sum fails or what was sent is known."""
_UNSUSPECTED = 1 / 16384
"""The same where nothing is wrong otherwise."""
_NEITHER = 0.1
"""How much likelier an octet that is neither sent nor old is if it was not written."""
_SURE = 0.9999
_SURE_ENOUGH = 0.9
"""Probability that a run must reach somewhere, without and with something that is wrong there."""
_PLAIN = (0x00, 0x20, 0xFF)
"""Octets of which frames hold whole runs."""
_HEADER = 14
"""Octets of a link header, whose values say nothing of what a payload is made of."""
_LIKE_BEFORE = 0.02
"""Chance that an octet of a frame repeats or counts on from the one before."""
_LIKE_PLAIN = 0.5
"""Chance that a plain octet repeats."""
_UNSEEN = 4
"""Octets that the guess of a value's chance is worth before any is seen."""
_NONE_SEEN = 0.5
"""The most that such a guess counts (Krichevsky and Trofimov, 1981): alphabets may be disjoint."""
_RUN = 3
"""Octets of one phase in a row before they tell a fill's phase."""


class Reading(NamedTuple):
    """A frame's octets as written or not."""

    unwritten: tuple[float, ...]
    """Probability that each octet was not written."""
    edges: tuple[Edge, ...]

    sure: tuple[Range, ...] = ()
    """Runs that are claimed, where that was asked for."""

    def ranges(self, sure: float = _SURE_ENOUGH) -> tuple[Range, ...]:
        """Runs of octets that are likelier unwritten, and at least one of them surely."""
        found = runs(i for i, p in enumerate(self.unwritten) if p > 0.5)
        return tuple(r for r in found if max(self.unwritten[slice(*r)]) >= sure)


_NOTHING = Reading((), ())


def read(
    octets: bytes,
    before: bytes,
    *,
    proven: Sequence[Range] = (),
    suspected: Sequence[Range] = (),
    truth: Sequence[int | None] = (),
) -> Reading:
    """Written or not, octet by octet.

    Args:
        octets: what was received.
        before: what the buffer held at the same offsets (a fill, an earlier frame); octets
            behind its end count as written.
        proven: octets that a matching sum covers.
        suspected: octets that a failing sum covers, or that are known to be damaged.
        truth: the sent octet for each received one, None where it is not known.

    Returns:
        Probabilities and edges. With old content of zeros and no truth, no octet is likely.
    """
    size = min(len(octets), len(before))
    if not size:
        return Reading((0.0,) * len(octets), ())
    kept = set(each(proven))
    chances = _values(octets, before)
    changed = _changed(octets, before, truth)
    ratios = [
        _ratio(i, octets, before, truth[i] if i < len(truth) else None, chances, changed)
        if i not in kept
        else _WRONG
        for i in range(size)
    ]
    doubted = set(each(suspected))
    known = [i < len(truth) and truth[i] is not None for i in range(size)]
    enters = [_SUSPECTED if k or i in doubted else _UNSUSPECTED for i, k in enumerate(known)]
    likely, edges = posterior(ratios, enters)
    return Reading((*likely, *([0.0] * (len(octets) - size))), tuple(edges))


def _values(octets: bytes, before: bytes) -> dict[int, float]:
    """Chance of each value of the old content in the written part of this very frame.

    Fill and payload of disjoint alphabets show in it: no payload octet is one of the fill's.
    """
    alphabet = set(before)
    written = [o for o, b in zip(octets[_HEADER:], before[_HEADER:], strict=False) if o != b]
    guess = min(_NONE_SEEN, _UNSEEN * len(alphabet) / 256)
    part = (sum(o in alphabet for o in written) + guess) / (len(written) + _UNSEEN)
    return dict.fromkeys(alphabet, part / len(alphabet))


def _changed(octets: bytes, before: bytes, truth: Sequence[int | None]) -> float:
    """Chance of one wrong value, by how many octets of this frame are neither sent nor old.

    Where most of a frame was changed, one that equals the old content by chance says nothing.
    """
    others = known = 0
    for octet, old, sent in zip(octets, before, truth, strict=False):
        known += sent is not None
        others += sent not in (None, octet) and octet != old
    return max(_WRONG, others / (known + 1) / 255)


def _ratio(
    i: int,
    octets: bytes,
    before: bytes,
    sent: int | None,
    chances: dict[int, float],
    changed: float,
) -> float:
    """How much likelier octet i is when it was not written than when it was."""
    octet = octets[i]
    stands = octet == before[i]
    if sent is not None:
        if stands:
            return 1.0 if octet == sent else 1 / changed
        return _WRONG if octet == sent else _NEITHER
    if not stands:
        return _WRONG * 256
    if octet == 0:
        return 1.0
    if octet not in _PLAIN:
        like = i and octet in (octets[i - 1], octets[i - 1] + 1)
        return 1 / (chances[octet] * (1 + (_LIKE_BEFORE * len(chances) if like else 0.0)))
    return 1 / (_LIKE_PLAIN if i and octets[i - 1] == octet else 1 / 256)


def claim(
    octets: bytes,
    fill: Fill,
    head: int,
    *,
    proven: Sequence[Range] = (),
    failing: Sequence[Range] = (),
    truth: Sequence[int | None] = (),
) -> Reading:
    """How likely each octet of a frame was never written; ``sure``: where that is certain.

    ``head``: octets of the buffer in front of the frame. ``proven``: octets that a matching sum
    covers (they arrived, even where they equal the fill). ``failing``: octets that a failing sum
    covers. ``truth``: the sent octet for each received one, when known; None where it is not.
    """
    before = fill.octets(head, head + len(octets))
    if not _worth_a_look(octets, before, truth):
        return _NOTHING
    reading = read(octets, before, proven=proven, suspected=failing, truth=truth)
    found = []
    for run in reading.ranges():
        known = any(truth[i] not in (None, octets[i]) for i in range(*run) if i < len(truth))
        doubted = known or bool(common((run,), failing))
        if doubted or max(reading.unwritten[slice(*run)]) >= _SURE:
            found.append(run)
    return reading._replace(sure=tuple(found))


def _worth_a_look(octets: bytes, before: bytes, truth: Sequence[int | None]) -> bool:
    """Whether two neighbours, or the last octet, or one where another was sent, are the old."""
    if not octets:
        return False
    same = [a == b for a, b in zip(octets, before, strict=True)]
    if same[-1] or any(a and b for a, b in pairwise(same)):
        return True
    return any(s and t not in (None, o) for s, t, o in zip(same, truth, octets, strict=False))


def phase(octets: bytes, fill: Fill) -> tuple[int, float] | None:
    """At which offset of its pattern a fill stands at octet 0, and the bits that say so.

    For the middle of a buffer, or a fill whose start nobody knows. None when no run of three
    octets shows it, when the pattern holds a value twice, or when two phases say as much.
    """
    places = {value: k for k, value in enumerate(fill.pattern)}
    period = len(fill.pattern)
    if len(places) != period or period == 1:
        return None
    bits: dict[int, float] = {}
    last, long = -1, 0
    for i, octet in enumerate(octets):
        at = (places[octet] - i) % period if octet in places else -1
        long = long + 1 if at == last and at >= 0 else 1
        if at >= 0 and long >= _RUN:
            # The first two of a run may be chance; each more is worth its rarity.
            bits[at] = bits.get(at, 0.0) + 8.0
        last = at
    ranked = sorted(bits.items(), key=lambda x: -x[1])
    if not ranked or (len(ranked) > 1 and ranked[1][1] == ranked[0][1]):
        return None
    best, most = ranked[0]
    return best, most - (ranked[1][1] if len(ranked) > 1 else 0.0)
