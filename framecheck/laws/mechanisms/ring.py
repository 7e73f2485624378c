"""Frames lie one behind the other in a ring of r octets; the reader reads on behind its end."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import numpy as np

from framecheck.laws._model import Advice, Grid, Mechanism, Parameters, Stream
from framecheck.laws._sample import Case, Sample
from framecheck.laws.gathered import STEPS
from framecheck.laws.mechanisms._words import LEAK

SMALLEST, LARGEST = 64, 65536
_WHOLE = 1 << 20
"""Where damage begins in a frame that has none."""
_CHANCE = 2
"""Octets behind the ring that may equal the sent ones by chance."""
_CROSSINGS = 3
_MOST = 24
"""Sizes that are looked at octet for octet, for each step."""
_BITS = float(np.log2(LARGEST) + np.log2(len(STEPS)))


def _grid(sample: Sample) -> Grid:
    found = np.array(list(_fitting(sample)), np.int64).reshape(-1, 2)
    return Grid({"r": found[:, 0], "step": found[:, 1]}, np.full(len(found), _BITS))


def _fitting(sample: Sample) -> Iterable[tuple[int, int]]:
    """Sizes under which damaged frames cross the ring's end where damage begins, and only they."""
    placed = [c for c in sample.cases if c.received is not None and c.seen.carried and not c.blind]
    crossed = [c for c in sample.pairs if c.seen.carried]
    if not crossed:
        return
    lengths = np.array([c.length for c in placed])
    first = np.array([_first_wrong(c) for c in placed])
    weights = np.array([c.weight for c in placed])
    for which, step in enumerate(STEPS):
        ends = {end for case in crossed[:8] for end in _ends(case, which)}
        # A ring that is shorter than a frame is none.
        fit = {r for end in ends for r in _sizes(end) if r >= lengths.max()}
        sizes = np.array(sorted(fit), np.int64)
        if not len(sizes):
            continue
        carried = np.array([c.seen.carried[which] for c in placed])
        edge = sizes[:, None] - carried[None, :] % sizes[:, None]
        edge = np.where(edge < lengths, edge, _WHOLE)
        # A written octet may equal what lies behind the ring: damage then begins a little later.
        late = np.where(first < _WHOLE, first, _WHOLE + _CHANCE) - edge
        against = ((late < 0) | (late > _CHANCE)) @ weights
        for i in np.argsort(against, kind="stable")[:_MOST]:
            if against[i] <= against.min() + 1:
                yield int(sizes[i]), step


def _first_wrong(case: Case) -> int:
    assert case.received is not None
    size = min(case.length, len(case.received))
    wrong = np.flatnonzero(case.sent[:size] != case.received[:size])
    return int(wrong[0]) if len(wrong) else _WHOLE


def _sizes(end: int) -> Iterable[int]:
    """Sizes of which so many octets are whole rounds."""
    for turns in range(1, 65):
        if end % turns == 0 and SMALLEST <= end // turns <= LARGEST:
            yield end // turns


def _ends(case: Case, which: int) -> Iterable[int]:
    first = _first_wrong(case)
    # The first old octets may equal the sent ones by chance.
    for at in (first, first - 1, first - 2):
        if 0 < at < _WHOLE - 2:
            yield case.seen.carried[which] + at


def _placed(p: Mapping[str, Any], cases: Sequence[Case]) -> tuple[Any, Any]:
    """From where the ring has ended, for sizes in rows and frames in columns."""
    start = np.full((len(p["r"]), len(cases)), _WHOLE)
    steps = p["step"][:, 0]
    for which, step in enumerate(STEPS):
        rows = np.flatnonzero(steps == step)
        if len(rows):
            carried = np.array([c.seen.carried[which] if c.seen.carried else -1 for c in cases])
            edge = p["r"][rows] - carried % p["r"][rows]
            start[rows] = np.where(carried >= 0, edge, _WHOLE)
    return start, np.full_like(start, _WHOLE)


def _fit(p: Parameters, case: Case, _: str | None) -> tuple[Stream | None, float]:
    sent = case.stream()
    if not case.seen.carried or p["step"] not in STEPS:
        return sent, 0.0
    start = case.seen.carried[STEPS.index(p["step"])] % p["r"]
    own = np.arange(case.length)
    return sent.unwritten(own >= p["r"] - start), 0.0


def _says(p: Parameters) -> str:
    step = f", each from a multiple of {p['step']} on" if p["step"] > 1 else ""
    return (
        f"frames lie one behind the other in a ring of {p['r']} octets{step}, and are read on "
        "behind its end"
    )


def _helps(p: Parameters) -> Advice:
    return Advice(
        f"read a frame that crosses the ring's end in two parts: up to octet {p['r']}, then from "
        "the ring's start",
        f"what lies behind the ring is other memory; {LEAK}",
        code=f"octet = ring[(start + i) % {p['r']}u];",
    )


def _many(p: Parameters, length: int) -> tuple[tuple[int, int], ...]:
    """In which of many frames of one length the first crossings come, and at which octet."""
    room = -(-length // p["step"]) * p["step"]
    found = []
    for crossing in range(1, _CROSSINGS + 1):
        turn, at = divmod(crossing * p["r"], room)
        # Between two frames there may be room that no frame uses: nothing crosses then.
        if 0 < at < length:
            found.append((turn + 1, at))
    return tuple(found)


RING = Mechanism(
    "ring", 4, _says, _helps, grid=_grid, placed=_placed, fit=_fit, old=True, many=_many
)
