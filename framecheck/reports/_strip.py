"""Pictures of the states of octets, never of their values: all frames in a strip, and the fold.

Both are SVG of a few paths, drawn here so that a page shows them without a script. Their memory
is bounded: what is not drawn is counted.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from framecheck.core.sheet import FrameRecord
from framecheck.core.span import Range

ROOM = 960
"""Width of both pictures in their own units."""
STRIP_HEIGHT = 110
MOST_COLUMNS = 6000
"""Frames in the strip."""
MOST_ROWS = 160
"""Rows in the fold."""
TOP = 44
"""Units above the rows of the fold, for the bars."""
STATES = ("wrong", "unwritten", "foreign", "moved", "doubtful")
KEY = {
    "wrong": "wrong, or named by a broken rule",
    "unwritten": "never written",
    "foreign": "not part of what was sent",
    "moved": "at another offset than it was sent at",
    "doubtful": "the console may have broken it",
}


class Marked(NamedTuple):
    """What the pictures need of one frame."""

    length: int
    damaged: bool
    spans: tuple[tuple[int, int, int], ...]
    """(index into STATES, start, stop), octets of the frame, half-open."""


def marked(record: FrameRecord, named: Iterable[int]) -> Marked:
    """The states of a frame's octets; ``named``: octets that a broken rule points at."""
    by_state: tuple[Sequence[Range], ...] = (
        record.wrong,
        record.residue,
        record.extra,
        tuple((m.received, m.received + m.length) for m in record.moves),
        record.doubtful,
    )
    spans = [(n, a, b) for n, ranges in enumerate(by_state) for a, b in ranges if a < b]
    if not spans and record.state == "damaged":
        spans = [(0, o, o + 1) for o in sorted(set(named)) if 0 <= o < len(record.octets)]
    return Marked(len(record.octets), record.state == "damaged", tuple(spans))


def strip(frames: Sequence[Marked], total: int) -> str:
    """All frames in time: one column a frame, as high as it is long, what is wrong inked."""
    if not frames:
        return ""
    longest = max(1, *(f.length for f in frames))
    wide = min(40.0, ROOM / len(frames))
    gap = 0.15 * wide if wide > 2 else 0.0
    whole, broken, ink = [], [], {name: [] for name in STATES}  # type: ignore[var-annotated]
    for n, f in enumerate(frames):
        x, unit = n * wide, STRIP_HEIGHT / longest
        (broken if f.damaged else whole).append(
            _box(x, STRIP_HEIGHT - f.length * unit, wide - gap, f.length * unit)
        )
        for state, a, b in f.spans:
            high = max(1.5, (b - a) * unit)
            ink[STATES[state]].append(
                _box(x, min(STRIP_HEIGHT - high, STRIP_HEIGHT - b * unit), wide - gap, high)
            )
    damaged = sum(f.damaged for f in frames)
    says = f"{total} frames, one column each; {damaged} of those drawn are damaged"
    paths = [("whole", whole), ("broken", broken), *ink.items()]
    return _svg("strip", min(ROOM, wide * len(frames)), STRIP_HEIGHT, says, paths)


def fold(frames: Sequence[Marked], width: int) -> tuple[str, int]:
    """The damaged rows of ``width`` octets, and how many rows there are in all.

    The bars above the rows count at which column a run of damage begins.
    """
    cell = min(12.0, ROOM / width)
    tall = max(2.0, min(8.0, cell))
    paper: list[str] = []
    ink: dict[str, list[str]] = {name: [] for name in STATES}
    starts = [0] * width
    count = 0
    for f in frames:
        rows: dict[int, list[tuple[int, int, int]]] = {}
        for state, a, b in f.spans:
            starts[a % width] += 1
            while a < b:
                row = a // width
                end = min(b, (row + 1) * width)
                rows.setdefault(row, []).append((state, a - row * width, end - row * width))
                a = end
        for row in sorted(rows):
            if count < MOST_ROWS:
                y, high = TOP + count * tall, tall * 0.82
                there = min(width, max(0, f.length - row * width))
                paper.append(_box(0, y, there * cell, high))
                for state, a, b in rows[row]:
                    ink[STATES[state]].append(_box(a * cell, y, (b - a) * cell, high))
            count += 1
    most = max(1, *starts)
    bars = [
        _box(n * cell, TOP - 3 - (TOP - 4) * c / most, cell * 0.8, (TOP - 4) * c / most)
        for n, c in enumerate(starts)
        if c
    ]
    says = f"states of octets by offset, folded at {width} octets a row"
    paths = [("paper", paper), *ink.items(), ("edge", bars)]
    return _svg("fold", ROOM, TOP + min(count, MOST_ROWS) * tall + 2, says, paths), count


def _box(x: float, y: float, wide: float, high: float) -> str:
    return f"M{x:.2f} {y:.2f}h{wide:.2f}v{high:.2f}h{-wide:.2f}z"


def _svg(
    name: str, wide: float, high: float, says: str, paths: Iterable[tuple[str, Sequence[str]]]
) -> str:
    drawn = "".join(f'<path class="{kind}" d="{"".join(d)}"></path>' for kind, d in paths)
    return (
        f'<svg id="{name}" role="img" aria-label="{says}" viewBox="0 0 {wide:.2f} {high:.2f}" '
        f'width="{wide:.0f}" height="{high:.0f}">{drawn}</svg>'
    )
