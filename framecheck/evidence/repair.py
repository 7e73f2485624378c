"""Repair as proof: undo one damage and look at every sum again.

A frame whose sums all hold, and which breaks no rule, when one damage is undone was damaged by it.
Where two damages would heal it alike, both are said and none is claimed; where octets are lost and
nothing tells what they were, the damage is named and no octets are claimed.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import log2
from typing import NamedTuple

from framecheck.core.finding import Finding, Host, Verdict
from framecheck.core.frame import Doubt, Frame
from framecheck.core.layer import Layer
from framecheck.core.sheet import Missing, Move, Repair
from framecheck.core.span import Range, each, runs
from framecheck.core.view import View
from framecheck.evidence import bits as single
from framecheck.evidence._complete import destination_bits
from framecheck.evidence._quick import look
from framecheck.evidence._trial import Case, Trial
from framecheck.evidence._weigh import Weighed, weigh
from framecheck.evidence.short import short
from framecheck.evidence.stuck import stuck
from framecheck.evidence.undoing import moved, orders, slips
from framecheck.framing import STRONG, starts
from framecheck.judging import judge
from framecheck.layers import decode_frame

ENOUGH = 12.0
"""Bits of evidence, all tries taken off, that make a proof: 1 in 4,096 frames by chance."""
_TIE = 6.0
"""Bits by which one repair must lead another before that is no longer worth a word."""
_LINK = 12
"""Octets of the addresses of the link, which no sum covers."""
_KINDS = 8
"""Kinds of damage that are tried: each pays for the others too."""
_LONGEST = 16384
"""Octets beyond which no search is made: no frame is so long."""
_MOST_EDGES = 48
_MOST_JUDGED = 6
"""Candidates that are examined in full."""
_LEAST_SURE = 8.0
"""Bits of a proof that must come from sums, where the healed frame has any."""
_GRAVE = ("impossible", "forbidden")


class Healing(NamedTuple):
    """What undoing one damage tells. Ranges are of received octets."""

    repair: Repair | None = None
    wrong: tuple[Range, ...] = ()
    extra: tuple[Range, ...] = ()
    missing: tuple[Missing, ...] = ()
    moves: tuple[Move, ...] = ()
    truth: tuple[int | None, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    on_the_way: bool = True
    """Whether the damage was done behind the sender; a wrong word may be its own."""

    def __bool__(self) -> bool:
        return bool(self.wrong or self.extra or self.missing)


def heal(
    frame: Frame,
    layers: Sequence[Layer],
    verdicts: Sequence[Verdict],
    findings: Sequence[Finding],
    host: Host,
) -> Healing:
    """The damage whose inverse heals a frame, when one does and the proof is strong enough.

    A frame that nothing is said against and whose headers are known is not looked at.
    """
    if not _in_need(frame, layers, verdicts, findings):
        return Healing()
    octets = frame.octets
    one = single.healed(frame, verdicts, lambda o: _sound(o, host))
    if one is not None:
        return _in_place(octets, one)
    found = _proven(_case(frame, layers, host), host)
    if found:
        return _told(octets, found)
    return Healing(doubts=stuck(octets) or short(octets) or single.open_(octets, verdicts))


class Guess(NamedTuple):
    """What was sent, likeliest, where no octets are claimed."""

    octets: bytes
    """Zeros where nothing tells what was lost."""
    origin: tuple[int | None, ...]
    """Per received octet the sent one that it was; None where it was none."""
    unknown: tuple[int, ...]


def guesses(frame: Frame, layers: Sequence[Layer], host: Host) -> list[Guess]:
    """The damages that ``heal`` found and did not claim, the likeliest first."""
    length = len(frame.octets)
    # A slip moves bits: no received octet is a sent one.
    found = (w for w in _proven(_case(frame, layers, host), host) if w.trial.family != "slip")
    return [_guess(w, length) for w in found]


def _guess(w: Weighed, length: int) -> Guess:
    back = _sent_at(w.trial, length)
    foreign = set(each(_behind(w.trial, w, length)))
    origin = (
        back[i] if i not in foreign and back[i] < len(w.octets) else None for i in range(length)
    )
    return Guess(w.octets, tuple(origin), w.unknown)


def _in_place(octets: bytes, one: Repair) -> Healing:
    """A repair that moves nothing; octets behind its end are an FCS that was left on."""
    wrong = runs(i for i, (a, b) in enumerate(zip(octets, one.octets, strict=False)) if a != b)
    end = len(one.octets)
    extra = ((end, len(octets)),) if end < len(octets) else ()
    seen = look(one.octets)
    parts = [p for t in seen.sums for p in t.parts] if seen is not None else []
    covered = set(each([(0, end)] if "fcs" in one.proved_by else parts))
    truth = tuple(one.octets[i] if i in covered else None for i in range(len(octets)))
    return Healing(one, wrong, extra, truth=truth, on_the_way="fcs" in one.proved_by)


def _in_need(
    frame: Frame,
    layers: Sequence[Layer],
    verdicts: Sequence[Verdict],
    findings: Sequence[Finding],
) -> bool:
    if frame.starts_at not in ("ethernet", "unknown") or not 24 <= len(frame.octets) <= _LONGEST:
        return False
    if any(v.outcome == "mismatch" for v in verdicts) or any(
        f.certainty in _GRAVE for f in findings
    ):
        return True
    # Nothing speaks of a frame in which no header is known.
    return all(x.kind in ("ethernet", "vlan", "payload", "llc", "padding") for x in layers)


def _case(frame: Frame, layers: Sequence[Layer], host: Host) -> Case:
    fcs = frame.fcs if frame.fcs is not None and len(frame.fcs) == 4 else b""
    octets = frame.octets + fcs
    heads = {x.start >> 3 for x in layers if not x.quoted}
    fields = {f.start >> 3 for x in layers if not x.quoted for f in x.fields if not f.start & 7}
    held = _held_up_to(octets)
    edges = sorted(e for e in {0, 6, 12, 14} | heads | fields if e >= held or e < 14)
    slip = sorted(e for e in {0} | heads | set(range(14, 34)) if e >= held)
    return Case(octets, len(fcs), tuple(edges[:_MOST_EDGES]), tuple(slip), host)


def _held_up_to(octets: bytes) -> int:
    """Octets in front of which a header whose checksum holds vouches for all."""
    seen = look(octets)
    if seen is None:
        return 0
    stops = [t.parts[-1][1] for t in seen.sums if not t.off(octets)]
    return max([s for s in stops if s <= seen.transport], default=0)


def _proven(case: Case, host: Host) -> list[Weighed]:
    """The repairs that are proven, the strongest first, those far behind it left out."""
    base = look(case.octets)
    if base is not None:
        # What goes together as it stands speaks for no repair.
        own = destination_bits(case.octets, base, (), host)
        base = base._replace(bits=base.bits + own)
    held = frozenset(t.name for t in base.sums if not t.off(case.octets)) if base else frozenset()
    found: list[Weighed] = []
    best = 0.0
    for shelf in (orders.trials, moved.trials, slips.trials):
        tries = 0
        kind: list[Weighed] = []
        for trial in shelf(case):
            tries += 1
            if trial.octets != case.octets:
                kind += weigh(case, trial, base, held)
        cost = log2(max(1, tries) * _KINDS)
        best = max([best, *(w.structure for w in kind)])
        kind = [w._replace(bits=w.bits - cost, tries=tries) for w in kind if w.holds]
        found += [w for w in kind if w.bits >= ENOUGH]
    # Where another reading shows more structure, and its sums fail, there are two damages.
    found = [w for w in found if w.structure >= best - _TIE]
    found.sort(key=lambda w: (-w.bits, bool(w.unknown)))
    return _fit(found, host)


def _alike(w: Weighed, other: Weighed) -> bool:
    """Whether two losses differ only in where the addresses of the link were hit."""
    same = w.trial.family == other.trial.family == "delete"
    k, at = w.trial.parameters["k"] if same else 0, other.trial.parameters.get("at", _LINK)
    return same and k == other.trial.parameters["k"] and bool(w.unknown) and int(at) < _LINK


def _fit(found: Sequence[Weighed], host: Host) -> list[Weighed]:
    """Those that break no rule and stand close to the best; of equal octets the first."""
    kept: list[Weighed] = []
    for w in found[:_MOST_JUDGED]:
        if kept and (kept[0].bits - w.bits >= _TIE or w.octets in [k.octets for k in kept]):
            continue
        if w.unknown or ((w.sure >= _LEAST_SURE or not w.covered) and _sound(w.octets, host)):
            kept.append(w)
    return kept


def _sound(octets: bytes, host: Host) -> bool:
    """Whether nothing speaks against a healed frame."""
    start = starts(octets)[0]
    if start.at or start.bits < STRONG:
        return False
    verdicts, findings = judge(View(octets, decode_frame(octets), host=host))
    return not any(v.outcome == "mismatch" for v in verdicts) and not any(
        f.certainty in _GRAVE for f in findings
    )


def _told(octets: bytes, found: Sequence[Weighed]) -> Healing:
    """The record of what was found: one repair, or a doubt that names those that heal alike."""
    best = found[0]
    others = found[1:]
    if not all(_alike(best, o) for o in others):
        return Healing(doubts=(_both(best, others),))
    trial = best.trial._replace(octets=best.octets)
    truth = trial.truth(len(octets))
    extra = _behind(trial, best, len(octets))
    wrong = runs(i for i, t in enumerate(truth) if t is not None and t != octets[i])
    moves = tuple(
        Move(m.received, min(m.length, len(octets) - m.received), m.sent) for m in trial.moves
    )
    if best.unknown:
        unknown = set(best.unknown)
        back = _sent_at(trial, len(octets))
        wrong = runs(i for a, b in wrong for i in range(a, b) if back.get(i) not in unknown)
        truth = tuple(None if back.get(i) in unknown else t for i, t in enumerate(truth))
        truth = _vouched(truth, trial, best)
        doubt = Doubt("what happened", f"{trial.says} {_proof(best)}", _not_told(best, others))
        return Healing(None, wrong, extra, trial.missing, moves, truth, (doubt,))
    truth = _vouched(truth, trial, best)
    repair = Repair(f"{trial.says} {_proof(best)}", best.octets, best.proved_by or (_HEADER,))
    return Healing(repair, wrong, extra, trial.missing, moves, truth)


def _vouched(truth: Sequence[int | None], trial: Trial, w: Weighed) -> tuple[int | None, ...]:
    """What belongs at each received octet, only where a sum of the healed frame covers it."""
    back = _sent_at(trial, len(truth))
    covered = set(each(w.covered))
    return tuple(t if back[i] in covered else None for i, t in enumerate(truth))


_HEADER = "constants of the header"


def _proof(w: Weighed) -> str:
    """How strong the proof is, by the sums alone; structure that fits comes on top."""
    chance = w.sure - log2(w.tries)
    if chance < 1:
        return "(by its headers and lengths alone)"
    return f"(by chance 2^-{w.sure:.0f}, in {w.tries} tries 2^-{chance:.0f})"


def _both(best: Weighed, others: Sequence[Weighed]) -> Doubt:
    said = [w.trial.says for w in others]
    return Doubt("what happened", f"{best.trial.says} {_proof(best)}", " or ".join(said))


def _not_told(w: Weighed, others: Sequence[Weighed]) -> str:
    names = ", ".join(
        f"0x{a:x}" if b - a == 1 else f"0x{a:x} to 0x{b - 1:x}" for a, b in runs(w.unknown)
    )
    elsewhere = " or ".join(o.trial.says for o in others) or "the same at a place near by"
    return f"{elsewhere}; nothing tells what was lost of sent octets {names}"


def _behind(trial: Trial, w: Weighed, length: int) -> tuple[Range, ...]:
    """What is foreign: what was inserted, and an FCS behind the frame that nobody took off."""
    reach = max([m.received - m.sent for m in trial.moves], default=0) + len(w.octets)
    tail = ((reach, length),) if reach < length else ()
    return (*trial.extra, *tail)


def _sent_at(trial: Trial, length: int) -> dict[int, int]:
    """Received octet -> sent octet, the last move counts."""
    found = {i: i for i in range(length)}
    for m in trial.moves:
        found.update({i: i - m.received + m.sent for i in range(m.received, length)})
    return found
