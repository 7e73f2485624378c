"""Where one frame's rows end and the next one's begin, when nothing but contents says so."""

from __future__ import annotations

from framecheck.core.frame import TWO_FRAMES, Doubt
from framecheck.reading._facts import Facts
from framecheck.reading._irregular import whole
from framecheck.reading._track import STRONG, Content, Track

_HEADERS = 18
"""Octets of a row that holds no more than a link header, with its tag."""


def divided(track: Track, content: Content | None) -> Track | None:
    """The next frame's dump, when the last row of this one, which it loses, begins a frame."""
    last = track.parts[-1]
    if len(track.parts) < 2 or content is None or track.lines[-1].pieces:
        return None
    known = (track.parts[0][:6], track.parts[0][6:12], b"\xff" * 6)
    enough = STRONG if last[:6] in known or last[6:12] in known else 2 * STRONG
    if content(last) < enough or content(b"".join(track.parts[:-1])) < STRONG:
        return None
    row = track.rows.pop()
    track.parts.pop()
    track.total -= len(last)
    track.digits -= 2 * len(last)
    track.ended = True
    fresh = Track(track.shape, Facts(), content)
    fresh.odd_gutter = track.odd_gutter
    fresh.rows.append(row._replace(first=0))
    fresh.lines.append(track.lines.pop())
    fresh.parts.append(last)
    fresh.texts.append(track.texts.pop())
    fresh.text = fresh.texts[0]
    fresh.total = len(last)
    fresh.digits = 2 * len(last)
    lone = whole(track, track.octets)
    about = "where a frame ends" if lone else TWO_FRAMES
    taken = "a frame of its own from here"
    if lone or track.total > _HEADERS:
        fresh.doubts.append(Doubt(about, taken, "more of the frame before", False, row.line))
    else:
        # Two link headers in front of the same rows: no sum says whose these are.
        fresh.doubts.append(Doubt(about, taken, "rows of the frame before", True, row.line))
        fresh.doubtful.append((0, len(last)))
    return fresh
