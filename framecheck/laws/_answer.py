"""The ranking as the sheet states it: one answer, its margin, its rivals, and what parts them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

import numpy as np

from framecheck.laws._address import placed
from framecheck.laws._lengths import (
    GROUP,
    SAMPLED,
    SOURCE,
    behaviour,
    frames_needed,
    next_length,
    parting,
)
from framecheck.laws._model import LENGTHS, UNWRITTEN, WRITTEN, Law, Stream, clause
from framecheck.laws._sample import ANY, BEFORE, FILL, ZERO, Case, Sample
from framecheck.laws._score import foretold, score, values
from framecheck.laws._when import condition
from framecheck.laws.gathered import Gathered
from framecheck.laws.search import NEAR, Hypothesis

CERTAIN = 10.0
"""Bits of margin from which a law can be certain: odds of 1000 to 1."""
_MOST_RIVALS, _MOST_PARTED = 256, 24
"""Rivals that are listed, and those of them that the next frame is to part."""
_EXAMPLES = 20
_MOST_ALIKE = 120
"""Laws with the same bits that are looked at octet for octet."""
_SAME = 1e-6
_MORE = 40
"""Frames that part conditions which no length parts."""
_FEWEST = 2
"""Damaged frames that a law must foretell before it can be certain."""
_STRAY = 0.05
"""Share of frames that may be damaged for reasons of their own."""
_MOST_HIDDEN, _MOST_ALIKE_HIDDEN = 0.4, 0.25
"""Shares of octets that a certain law may say nothing of, and of those that are as sent."""


class Entry(NamedTuple):
    """One law with all sources that the evidence leaves open."""

    law: Law
    total: float
    evidence: float
    sources: tuple[str, ...]


def ranking(
    found: Sequence[Hypothesis], looked: Sample, gathered: Gathered, listed: int
) -> list[Mapping[str, Any]]:
    """The first laws of the ranking; the first one with margin, rivals and the next probe."""
    entries = _entries(found)
    if not entries:
        return []
    best = entries[0]
    alike = [e for e in entries[1:] if abs(e.evidence - best.evidence) <= _SAME]
    other = [e for e in entries[1:] if abs(e.evidence - best.evidence) > _SAME]
    same: list[Entry] = []
    own = _digests(best.law, looked) if alike else ()
    for e in alike[:_MOST_ALIKE]:
        (same if _equal(own, e.law, looked) else other).append(e)
    other.sort(key=lambda e: e.total)
    margin = round(other[0].total - best.total, 1) if other else NEAR
    near = [e for e in other if e.total < best.total + CERTAIN]
    apart = [e for e in same if _turned(best.law, e.law) or parting(best.law, e.law) is not None]
    rivals = _diverse([*apart, *near])
    counts = _counts(best, looked, gathered)
    certain = (
        margin >= CERTAIN
        and best.law.family != "unrelated"
        and not best.law.parameters.get("_thin")
        and "share" not in (best.law.when or {})
        and counts.failed <= 1 + _STRAY * gathered.frames
        and _shown(best, counts)
        and not _hidden(best, looked)
        and not any(_another(best.law, e.law) for e in apart)
    )
    first = _stated(best, looked, counts)
    first |= {
        "margin": margin,
        "certain": certain,
        "rivals": [_short(e) for e in rivals],
        "next": _next(best, rivals, looked),
    }
    rest = [_stated(e, looked, _counts(e, looked, gathered)) for e in entries[1:listed]]
    return [first, *rest]


def _entries(found: Sequence[Hypothesis]) -> list[Entry]:
    """Hypotheses that differ only in their source become one, with the source open."""
    by_law: dict[tuple[Any, ...], list[Hypothesis]] = {}
    for h in found:
        by_law.setdefault(h.law.key(), []).append(h)
    entries = []
    for variants in by_law.values():
        # Of one that does as well as the best when its old octets are unknown, that is what counts.
        equal = (v for v in variants if abs(v.evidence - found[0].evidence) <= _SAME)
        first = next(equal, variants[0])
        named = [v for v in variants if v.law.source not in (None, ANY)]
        close = [v for v in named if v.total < first.total + CERTAIN]
        sources = tuple(dict.fromkeys(str(v.law.source) for v in close))
        if not sources and first.law.source:
            sources = (first.law.source,)
        entries.append(Entry(first.law, first.total, first.evidence, sources))
    return sorted(entries, key=lambda e: round(e.total, 6))


def _digests(law: Law, looked: Sample) -> list[bytes | None]:
    """What a law foretells of every frame that was looked at closely."""
    return [_digest(law, looked.cases[i]) for i in looked.telling]


def _equal(own: Sequence[bytes | None], law: Law, looked: Sample) -> bool:
    """Whether a law foretells the same octets of every frame that was seen."""
    chosen = (looked.cases[i] for i in looked.telling)
    return all(a == _digest(law, c) for a, c in zip(own, chosen, strict=True))


def _digest(law: Law, case: Case) -> bytes | None:
    made, _ = foretold(law, case)
    if made is None or case.received is None:
        return None if made is None else b""
    expected, known = values(case, made, law.source)
    return len(made.values).to_bytes(4, "big") + np.where(known, expected, -1).tobytes()


def _shown(entry: Entry, counts: _Counts) -> bool:
    """Whether damaged frames show the law: two at least, and all but one or a few of them."""
    if entry.law.family == "sound":
        return True
    against = counts.damaged - counts.shown
    return counts.shown >= _FEWEST and against <= max(1.0, _STRAY * counts.damaged)


def _hidden(entry: Entry, looked: Sample) -> bool:
    """Whether a law explains what is wrong by octets of which it says nothing.

    Where the fill is known, octets that were never written show it. Where it is not, a part of
    the frame may hold what nobody knows; but then it seldom equals what was sent, and it is not
    most of the frame.
    """
    if entry.sources != (ANY,):
        return False
    if looked.fill is not None:
        return True
    seen = hidden = alike = 0
    for case in looked.pairs:
        made, _ = foretold(entry.law, case)
        if made is None or case.received is None:
            continue
        seen += len(made.states)
        size = min(len(made.states), case.length, len(case.received))
        old = made.states[:size] == UNWRITTEN
        hidden += int(old.sum())
        alike += int((case.sent[:size] == case.received[:size])[old].sum())
    return hidden > _MOST_HIDDEN * seen or alike > _MOST_ALIKE_HIDDEN * hidden


def _another(best: Law, rival: Law) -> bool:
    """Whether a rival is of another family, or has other numbers than where its count starts."""
    own, other = best.shown(), rival.shown()
    for shift in ("lead", "trail", "most"):
        own.pop(shift, None)
        other.pop(shift, None)
    return rival.family != best.family or own != other or rival.when != best.when


def _turned(one: Law, other: Law) -> bool:
    """Whether two chains that no length parts have another order: this fill shows them alike."""
    return bool(one.then and other.then) and one.family != other.family


def _diverse(entries: Sequence[Entry]) -> list[Entry]:
    """Rivals, one of each family and n first, then the rest, as far as there is room."""
    seen: set[tuple[Any, ...]] = set()
    first: list[Entry] = []
    rest: list[Entry] = []
    for e in entries:
        kind = (e.law.family, e.law.parameters.get("n"))
        (rest if kind in seen else first).append(e)
        seen.add(kind)
    return [*first, *rest][:_MOST_RIVALS]


class _Counts(NamedTuple):
    held: float
    failed: float
    untested: float
    damaged: float
    """Frames that did not come as they were sent."""
    shown: float
    """Those of them that are as the law foretells."""
    holds: list[list[Any]]
    fails: list[list[Any]]
    unclear: list[list[Any]]


def _counts(entry: Entry, looked: Sample, gathered: Gathered) -> _Counts:
    weights = {"holds": 0.0, "fails": 0.0, "unclear": float(gathered.unread)}
    named: dict[str, list[list[Any]]] = {kind: [] for kind in weights}
    damaged = shown = 0.0
    for case in sorted(looked.cases, key=lambda c: (c.seen.order, c.seen.number)):
        kind = _kind(entry.law, case)
        weights[kind] += case.weight
        named[kind].append([case.seen.input, case.seen.number])
        if case.blind or case.damaged:
            damaged += case.weight * (kind != "unclear")
            shown += case.weight * (kind == "holds")
    return _Counts(weights["holds"], weights["fails"], weights["unclear"], damaged, shown, **named)


def _kind(law: Law, case: Case) -> str:
    """Whether a frame is as a law foretells, is not, or says nothing about it."""
    made, _ = foretold(law, case)
    if case.blind:
        if made is None or not (made.states == UNWRITTEN).any():
            return "unclear"
    elif made is not None and case.received is not None and not case.damaged:
        return _of_whole(law, case, made)
    return "holds" if score(case, made, law.source).holds else "fails"


def _of_whole(law: Law, case: Case, made: Stream) -> str:
    """A frame that came as sent: one in which the law's own octets cannot be seen says nothing."""
    size = min(len(made.states), case.length)
    touched = made.states[:size] != WRITTEN
    if touched.any() and len(made.values) == case.length:
        expected, known = values(case, made, law.source)
        seen = known & (expected != case.sent[:size])
        moved = ~touched & (made.values[:size] != case.sent[:size])
        if not (seen & ~case.ignored[:size]).any() and not moved.any():
            return "unclear"
    return "holds" if score(case, made, law.source).holds else "fails"


def _tallied(count: float, examples: list[list[Any]]) -> dict[str, Any]:
    return {"count": round(count), "examples": examples[:_EXAMPLES]}


def _stated(entry: Entry, looked: Sample, counts: _Counts) -> dict[str, Any]:
    """One law of the ranking with every key of the sheet."""
    law = entry.law
    return {
        **_short(entry),
        "when": dict(law.when) if law.when else None,
        "says": says(entry, looked),
        "margin": None,
        "certain": False,
        "holds": _tallied(counts.held, counts.holds),
        "fails": _tallied(counts.failed, counts.fails),
        "untested": _tallied(counts.untested, counts.unclear),
        "rivals": [],
        "workaround": _workaround(law, looked),
        "next": None,
    }


def _short(entry: Entry) -> dict[str, Any]:
    law = entry.law
    return {
        "family": law.family,
        "parameters": law.shown(),
        "from": _from(entry.sources),
        "when": dict(law.when) if law.when else None,
        "then": None
        if law.then is None
        else {"family": law.then.family, "parameters": law.then.shown()},
    }


def _from(sources: Sequence[str]) -> Any:
    return None if not sources else sources[0] if len(sources) == 1 else list(sources)


# Sentences.

_HELD = {
    FILL: "the fill is still there",
    ZERO: "zeros stand there",
    BEFORE: "the frame before is still there",
    ANY: "what stands there instead is not known",
}


def says(entry: Entry, looked: Sample) -> str:
    """The law in one sentence."""
    law = entry.law
    said = law.mechanism.says(law.parameters)
    if law.when:
        said = f"{condition(law.when)}, {said}"
    if law.then is not None:
        said = f"{said}; then {law.then.mechanism.says(law.then.parameters)}"
    if entry.sources:
        ring = looked.ring
        held = [
            f"the frame {ring} before is still there (a ring of {ring} buffers)"
            if s == BEFORE and ring > 1
            else _HELD[s]
            for s in entry.sources
        ]
        there = " is still there"
        if all(told.endswith(there) for told in held):
            held = [*(told.removesuffix(there) for told in held[:-1]), held[-1]]
        said = f"{said}: {' or '.join(held)}"
    phase = placed(law, looked.address)
    return f"{said}; {phase}" if phase else said


def _workaround(law: Law, looked: Sample) -> dict[str, Any]:
    """What a driver does about it, and what that costs over the lengths that were seen."""
    advice = law.mechanism.helps(law.parameters)
    lengths = [(c.length, c.weight) for c in looked.cases]
    extra = percent = None
    if advice.extra is not None:
        frames = sum(w for _, w in lengths)
        whole = sum(n * w for n, w in lengths)
        more = sum(advice.extra(n) * w for n, w in lengths)
        extra = round(more / frames, 1) if frames else None
        percent = round(100 * more / whole, 1) if whole else None
    seen = [n for n, _ in lengths]
    return {
        "says": advice.says,
        "stays": advice.stays,
        "octets_a_frame": extra,
        "percent": percent,
        "lengths": [min(seen), max(seen)] if seen else [],
        "code": advice.code,
    }


def _next(best: Entry, rivals: Sequence[Entry], looked: Sample) -> dict[str, Any] | None:
    """The frame to send next: the shortest length that parts the laws best."""
    if not rivals:
        return None
    entries = [best, *rivals[:_MOST_PARTED]]
    if any(e.law.mechanism.last for e in entries):
        return _at_random(entries)
    weights = [2.0 ** -((e.total - best.total) / 4) + 1e-3 for e in entries]
    found = next_length([e.law for e in entries], weights, _heads(looked))
    if found is None and any(e.law.when != best.law.when for e in entries):
        return _more(best.law)
    if found is None:
        return {
            "length": None,
            "says": "no frame length parts these laws: refill the buffer before each frame with "
            "another fill (odd-parity), and see what stands there",
        }
    length, parts, head = found
    frames = frames_needed([e.law for e in entries], length)
    to, by = (head[i : i + 6].hex(":") for i in (0, 6))
    addressed = f" from {by} to {to}" if head[6:12] == SOURCE else ""
    send = f"a frame of {length} octets (FCS not counted){addressed}: it tells whether"
    if frames > 1:
        send = f"{frames} frames of {length} octets one after another{addressed}: they tell whether"
    return {
        "length": length,
        "frames": frames,
        "addresses": [to, by] if addressed else None,
        "parts": len(parts),
        "says": f"send {send} {_named(entries, parts)}",
    }


def _more(law: Law) -> dict[str, Any]:
    """Many frames of one length in which a law shows: they part conditions that no length parts."""
    length = next((n for n in SAMPLED if behaviour(law, n) != "as sent"), SAMPLED[0])
    return {
        "length": length,
        "frames": _MORE,
        "says": f"send {_MORE} frames of {length} octets (FCS not counted) one after another: they "
        "tell in which of them it holds",
    }


def _at_random(entries: Sequence[Entry]) -> dict[str, Any]:
    """Many of the longest frames: what happens at random shows where it may happen, in the end."""
    named = _named(entries, [[i] for i in range(len(entries))])
    return {
        "length": LENGTHS[-1],
        "frames": _MORE,
        "says": f"send {_MORE} frames of {LENGTHS[-1]} octets (FCS not counted) one after another: "
        f"they tell whether {named}",
    }


def _heads(looked: Sample) -> list[bytes]:
    """What the next frame may begin with: as frames do, or with addresses that tell more."""
    for case in looked.cases:
        if not case.blind and case.length >= 14:
            own = case.sent[:14].tobytes()
            return [own, own[:6] + SOURCE + own[12:], GROUP + SOURCE + own[12:]]
    return [b""]


def _named(entries: Sequence[Entry], parts: Sequence[Sequence[int]]) -> str:
    names = []
    for part in parts[:4]:
        law = entries[part[0]].law
        then = f", then {clause(law.then)}" if law.then else ""
        names.append(clause(law) + then)
    return "; or ".join(names) + ("; or others" if len(parts) > 4 else "")


def notes(looked: Sample) -> list[str]:
    """What the evidence does not show, in sentences."""
    said = []
    lengths = sorted({c.length for c in looked.cases})
    if len(lengths) == 1:
        n = lengths[0]
        said.append(
            f"all frames have {n} octets: laws that depend on the length cannot be parted; "
            f"lengths that are missing, to begin with: {_listed(x for x in (63, 78, 95) if x != n)}"
        )
    fill = looked.fill
    if fill is not None:
        common_ = _in_traffic(looked)
        if common_ > 0.02:
            said.append(
                f"the fill {fill.name} occurs in the traffic itself ({100 * common_:.0f} % of sent "
                "octets equal it where they stand): use odd-parity"
            )
    return said


def _listed(numbers: Iterable[int]) -> str:
    *most, last = map(str, numbers)
    return f"{', '.join(most)} and {last}"


def _in_traffic(looked: Sample) -> float:
    """Share of the sent octets that equal the fill at their place."""
    same = whole = 0
    for case in looked.cases:
        if case.blind:
            continue
        held = case.sources[FILL][: case.length]
        same += int((held == case.sent).sum())
        whole += case.length
    return same / whole if whole else 0.0
