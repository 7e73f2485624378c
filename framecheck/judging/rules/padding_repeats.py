"""Padding that repeats what an earlier frame had at the same place."""

from __future__ import annotations

from collections.abc import Iterator

from framecheck.core.finding import Breach, practice, rule
from framecheck.core.layer import Layer
from framecheck.core.view import View
from framecheck.judging._examples import ICMP, UDP, behind, edited
from framecheck.judging._tools import filled, many
from framecheck.judging.memory.frames import Frames

_LEAST = 4
"""Octets that must agree: fewer do by chance."""


@rule(
    "padding-repeats-frame",
    layer="padding",
    certainty="suspicious",
    source=practice("buffers that are not cleared between frames"),
    example=behind((ICMP.hex(),), edited(UDP, (47, ICMP[47:60].hex())), ((47, 60),)),
)
def repeats_frame(padding: Layer, view: View) -> Iterator[Breach]:
    """Padding does not hold what an earlier frame of the log had at the same place.

    Where it does, the buffer still held that frame: the transfer, or the sender, did not write
    these octets. The finding names the frame.
    """
    octets = view.part(padding.start, padding.stop)
    found = filled(octets, padding.start)
    if view.past is None or found is None:
        return
    first, stop = found[0].octets
    part = view.octets[first:stop]
    if len(part) < _LEAST or len(set(part)) < _LEAST:
        return
    frame = view.past.of(Frames).same_at(first, part)
    if frame is not None:
        says = f"{many(len(part))} of the padding are those of frame {frame} at the same place"
        yield Breach((found[0],), part.hex(), "00" * len(part), says)
