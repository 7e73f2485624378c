"""Lengths to begin with: each set parts more kinds of laws than the one before it.

What each parts is counted here, not remembered.
"""

from __future__ import annotations

from typing import NamedTuple

from framecheck.damage.probes import SWEEP
from framecheck.damage.probes._lengths import FIRST, STARTS, TRAIL

LARGEST = 64
"""The largest granule that the openings name."""
FCS = 4


class Opening(NamedTuple):
    """Lengths to send together, and what they decide."""

    lengths: tuple[int, ...]
    decides: str
    laws: int
    """Laws of the kind that this set is for."""
    parts: int
    """Groups into which the lengths so far put them; as many as laws: each has a name."""


def openings() -> tuple[Opening, ...]:
    """The fixed sets, in the order in which they are sent."""
    first, starts, trail = FIRST, STARTS, TRAIL
    plain = [(n, 0, 0) for n in range(2, LARGEST + 1)]
    shifted = [(n, lead, 0) for n in range(2, LARGEST + 1) for lead in range(n)]
    counted = [(n, lead, FCS) for n, lead, _ in shifted if n > FCS]
    return (
        _opening(
            first,
            f"a granule of up to {LARGEST} octets, counted from the start of the frame; that the "
            "last octets are lost, whatever the length",
            plain,
            first,
        ),
        _opening(
            starts,
            f"a granule of up to {LARGEST} octets, wherever its count starts: the buffer's "
            "address, a header in front of the frame",
            shifted,
            (*first, *starts),
        ),
        _opening(
            trail,
            "whether the FCS is counted in as well",
            shifted + counted,
            (*first, *starts, *trail),
        ),
        _opening(
            SWEEP,
            "all families that depend on the length: last pieces, limits, losses by remainder",
            shifted + counted,
            (*first, *starts, *trail, *SWEEP),
        ),
    )


def _opening(
    lengths: tuple[int, ...],
    decides: str,
    laws: list[tuple[int, int, int]],
    sent: tuple[int, ...],
) -> Opening:
    counted = {tuple(_edges(law, sent)) for law in laws}
    return Opening(lengths, decides, len(laws), len(counted))


def _edges(law: tuple[int, int, int], lengths: tuple[int, ...]) -> list[int]:
    """Where a granule leaves octets unwritten, in frames of these lengths."""
    n, lead, trail = law
    edges = [(length + lead + trail) // n * n - lead for length in lengths]
    return [min(max(0, edge), length) for edge, length in zip(edges, lengths, strict=True)]
