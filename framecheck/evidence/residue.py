"""Residue: octets that still hold the fill, by literal comparison.

A run of four fill octets is there by chance once in 2^32 places; one or two octets prove nothing
by themselves and are called residue only where something else agrees: what was sent, or a sum
that fails and covers the frame's end.
"""

from __future__ import annotations

from collections.abc import Sequence

from framecheck.core.span import Range, common, merged, without
from framecheck.damage import Fill

SHORTEST_RUN = 4


def residue(
    octets: bytes,
    fill: Fill,
    head: int,
    *,
    proven: Sequence[Range] = (),
    failing: Sequence[Range] = (),
    truth: Sequence[int | None] = (),
) -> tuple[Range, ...]:
    """The octets of a frame that the transfer never wrote.

    ``head``: octets of the buffer in front of the frame. ``proven``: octets that a matching sum
    covers (they arrived, even where they equal the fill). ``failing``: octets that a failing sum
    covers. ``truth``: the sent octet for each received one, when known; None where it is not.
    """
    expected = fill.octets(head, head + len(octets))
    runs = _runs(octets, expected)
    found: list[Range] = []
    if truth:
        # An octet that was meant to be what the fill is says nothing; one that was not, all.
        found = [r for r in runs if any(truth[i] not in (None, octets[i]) for i in range(*r))]
        runs = [r for r in runs if r not in found and all(truth[i] is None for i in range(*r))]
    if fill.constant == 0:
        return tuple(found)
    for run in without(runs, proven):
        start, stop = run
        long = stop - start >= SHORTEST_RUN
        at_end = stop == len(octets) and bool(common((run,), failing))
        if fill.constant == 0xFF and not at_end and not common((run,), failing):
            continue  # broadcast addresses and erased flash look alike
        if long or at_end:
            found.append(run)
    return merged(found)


def _runs(octets: bytes, expected: bytes) -> list[Range]:
    found: list[Range] = []
    start: int | None = None
    for i, (a, b) in enumerate(zip(octets, expected, strict=True)):
        if a == b:
            start = i if start is None else start
        elif start is not None:
            found.append((start, i))
            start = None
    if start is not None:
        found.append((start, len(octets)))
    return found
