"""From gathered frames to the laws that explain them, as the sheet states them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from framecheck.damage import Fill
from framecheck.laws import _answer
from framecheck.laws._chains import chains
from framecheck.laws._conditions import conditioned
from framecheck.laws._model import Law
from framecheck.laws._picture import picture
from framecheck.laws._sample import Sample, padding_unknown, sample
from framecheck.laws._score import score, under
from framecheck.laws.gathered import Gathered
from framecheck.laws.search import (
    NEAR,
    Hypothesis,
    elastic,
    family_bits,
    mechanisms,
    ranked,
    search,
    unrelated_bits,
)

MOST = 256
"""Frames that a search looks at; each stands for all frames of its length and shape."""
ENOUGH = 0.05
"""Share of unexplained frames from which chains and elastic laws are tried."""
_TRIED = 24
"""Laws of the ranking that are held against the damaged frames one by one."""
LISTED = 6
"""Laws of the ranking that are handed over."""


OTHER_TRAFFIC = (
    "what --sent holds has nothing to do with the frames of this log: no law; give the capture "
    "that was taken while the log was printed"
)


class Found(NamedTuple):
    """The ranking of laws, and what the report needs beside it."""

    laws: tuple[Mapping[str, Any], ...]
    notes: tuple[str, ...]
    picture: Mapping[str, Any] | None = None
    """What a report shows beside the first law; see ``_picture``."""


def infer(gathered: Gathered, fill: Fill | None = None, address: int | None = None) -> Found:
    """The laws behind the damage of many frames, the likeliest first.

    Args:
        gathered: frames as sent and received (see ``Observation``).
        fill: what the buffer held before, or None.
        address: where octet 0 of each received frame lies in memory, or None.

    Returns:
        Laws as the sheet's ``laws[]`` states them (margins in bits), and notes in sentences.
        No law where the evidence cannot bear one; a note then says why.
    """
    notes = list(gathered.notes)
    why = withheld(gathered, fill)
    if why or not gathered.frames:
        return Found((), (*notes, *why))
    looked = sample(gathered.cases(MOST), fill)
    looked.address = address
    padding_unknown(looked.cases, looked.sources)
    found = hypotheses(looked)
    laws = _answer.ranking(found, looked, gathered, LISTED)
    first = found[0].law
    if gathered.by_turn and not gathered.paired and not _believed(laws[0]):
        return Found((), (*notes, OTHER_TRAFFIC))
    return Found(tuple(laws), (*notes, *_answer.notes(looked)), picture(first, looked))


def _believed(law: Mapping[str, Any]) -> bool:
    """Whether a law over frames that were paired by their turn alone shows that they are pairs."""
    margin = law["margin"] or 0.0
    fits = law["holds"]["count"] > 4 * law["fails"]["count"]
    return law["family"] not in ("sound", "unrelated") and margin >= _answer.CERTAIN and fits


def hypotheses(looked: Sample) -> list[Hypothesis]:
    """Single laws, and chains and conditions where single laws leave frames unexplained."""
    found = search(looked)
    nothing = next(m for m in mechanisms() if m.family == "unrelated")
    bits = unrelated_bits(looked.cases)
    prior = family_bits(nothing)
    none = Hypothesis(Law(nothing, {}, None, prior), bits, bits + prior)
    found = ranked([*found, none])
    first = found[0]
    left = unexplained(first.law, looked)
    if left > ENOUGH:
        # Two laws must explain more frames than one, not only cost less.
        for more in (conditioned, chains):
            tried = more(looked, found[0])
            better = [h for h in tried if unexplained(h.law, looked, left / 2) <= left / 2]
            found = ranked([*found, *better])
    if found[0] is not first:
        left = unexplained(found[0].law, looked, ENOUGH)
    # What is there in some frames only, by no rule that shows, may as well be lines at random.
    if left > ENOUGH or "share" in (found[0].law.when or {}):
        found = ranked([*found, *elastic(looked, found[0].total)])
    return _credible(found, none, looked)


def _credible(found: list[Hypothesis], none: Hypothesis, looked: Sample) -> list[Hypothesis]:
    """Laws that most damaged frames contradict go behind, however cheaply they say the rest."""
    at = next((i for i, h in enumerate(found[:_TRIED]) if _borne_out(h.law, looked)), None)
    if at == 0:
        return found
    first = none if at is None else found[at]
    behind = [h._replace(total=max(h.total, first.total + NEAR)) for h in found[: at or _TRIED]]
    between = [h for h in found[at or _TRIED :] if h is not first and h is not none]
    return ranked([first, *between, *behind]) if at is not None else [first, *behind]


def _borne_out(law: Law, looked: Sample) -> bool:
    """Whether at least half of the damaged frames are as foretold, but for single octets."""
    if law.family in ("sound", "unrelated"):
        return True
    damaged = as_said = 0.0
    for case in looked.cases:
        if case.blind or not case.damaged:
            continue
        damaged += case.weight
        told, plain = under(law, case), score(case, case.stream(), None)
        size = len(case.received) if case.received is not None else 0
        # Single octets may differ; but a law that leaves as many wrong as none does says nothing.
        better = size != case.length or 2 * told.wrong <= plain.wrong
        nearly = better and 0 < told.wrong <= 2 + size // 200
        as_said += case.weight * (told.holds or nearly)
    return 2 * as_said >= damaged


def unexplained(law: Law, looked: Sample, limit: float = 1.0) -> float:
    """Share of the frames that a law does not explain; above ``limit`` no further is counted."""
    whole = sum(c.weight for c in looked.cases)
    failed = 0.0
    for case in looked.cases:
        failed += 0.0 if under(law, case).holds else case.weight
        if failed > limit * whole:
            break
    return failed / whole if whole else 0.0


def withheld(gathered: Gathered, fill: Fill | None) -> Sequence[str]:
    """Why no law can be looked for, in sentences."""
    if not gathered.frames:
        unread = "no frame came through the console unbroken: print them again, and slower"
        return [unread] if gathered.unread else []
    if gathered.frames == 1:
        lengths = "63, 78 and 95"
        return [
            *([gathered.shows] if gathered.shows else []),
            "one frame alone bears no law: send frames of several lengths, first "
            f"{lengths} octets (framecheck probe build --output probes.pcap writes them), and "
            "give the log of all of them",
        ]
    known = any(
        seen.known in ("sent", "probe", "echo", "repair")
        for group in gathered.groups.values()
        for seen in group.kept
    )
    if fill is not None and fill.constant == 0 and not known:
        return [
            "zeros are the padding and the content of many frames: with a fill of zeros and "
            "nothing that says what was sent, no law can be told; fill with odd-parity, or give "
            "--sent"
        ]
    if gathered.reference and not gathered.paired and not gathered.by_turn:
        return [OTHER_TRAFFIC]
    if fill is None and not known:
        return [
            "nothing says what was sent and no fill is known: give --sent, or fill the buffer "
            "before each transfer and give --fill"
        ]
    return []
