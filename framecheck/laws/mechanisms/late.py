"""The frame that is printed is an earlier one: the driver reads a buffer that was filled before.

The frames themselves are whole. It shows at both ends: the first dumps hold nothing but the fill,
then each sent frame comes so many dumps late, and the last ones never come. A log that begins
late or ends early shows nothing of the kind, and is not taken for it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

import numpy as np

from framecheck.laws import _bits
from framecheck.laws._model import Advice, Mechanism, Parameters, Proposal, Stream
from framecheck.laws._sample import FILL, Case, Sample
from framecheck.laws.mechanisms._words import LEAK

MOST = 16
"""Frames by which one may be late: more buffers are rare."""
_FEWEST = 3
"""Frames in their late places before they are believed."""
_SHARE = 0.8


def _propose(sample: Sample) -> Iterable[Proposal]:
    late = Counter(shift for c in sample.cases if (shift := _shift(c)) is not None)
    if not late:
        return
    k, times = late.most_common(1)[0]
    if not 0 < k <= MOST or times < _FEWEST or times < _SHARE * sum(late.values()):
        return
    empty = {c.seen.order for c in sample.cases if c.blind and _only_fill(c)}
    if empty.issuperset(range(1, k + 1)):
        yield Proposal({"frames": k}, float(np.log2(MOST)))


def _shift(case: Case) -> int | None:
    """How many dumps later a frame came than it was sent; None: not known."""
    if case.received is None or case.seen.place is None:
        return None
    return case.seen.order - 1 - case.seen.place


def _only_fill(case: Case) -> bool:
    held = case.sources.get(FILL)
    if held is None or case.received is None or not len(case.received):
        return False
    return bool((held[: len(case.received)] == case.received).mean() > 0.95)


def _fit(p: Parameters, case: Case, _: str | None) -> tuple[Stream | None, float]:
    sent, k = case.stream(), p["frames"]
    if case.received is None:
        # The last frames sent are still in the buffers when the log ends.
        last = case.seen.behind is not None and case.seen.behind < k
        return (None if last else sent), 0.0
    if case.blind and case.seen.order <= k:
        return sent.unwritten(np.ones(len(sent.values), bool)), 0.0
    shift = _shift(case)
    return sent, 0.0 if shift in (None, k) else _bits.ABSENT


def _says(p: Parameters) -> str:
    k = p["frames"]
    which = "the one before" if k == 1 else f"the one {k} before"
    return f"the frame that is printed is not the one that just came, but {which} it"


def _helps(p: Parameters) -> Advice:
    return Advice(
        "read the buffer whose descriptor was just given back, not the next one by index; take "
        "the index that the device writes, and start both at 0 when the device is started",
        f"answers go to requests that are over; the first buffers hold no frame at all: {LEAK}",
    )


LATE = Mechanism("late", 3, _says, _helps, propose=_propose, fit=_fit, old=True)
