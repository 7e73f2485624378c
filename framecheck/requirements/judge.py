"""Requirements held against a run: counts as the frames go by, a word on each at the end."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from framecheck.core.sheet import FrameRecord, Tally
from framecheck.requirements.kinds import kinds_of
from framecheck.requirements.table import LawNote, RuleNote, Table

_GRAVE = ("impossible", "forbidden", "suspicious")


class Requirements:
    """Sees every frame of a run, then says which requirements it holds."""

    def __init__(self, table: Table, today: date | None = None) -> None:
        """``today``: the day by which end dates are judged; by default the machine's."""
        self._table = table
        self._today = today or date.today()
        self._kinds: dict[str, int] = {}
        self._rules: dict[str, int] = {}
        self._shortest: int | None = None
        self._longest = 0
        self._allowed = 0
        self._standing = frozenset(n.rule for n in table.allow if self._today <= n.until)

    def see(self, record: FrameRecord) -> None:
        """Count one frame."""
        allowed = record.state == "damaged" and self._is_allowed(record)
        self._allowed += allowed
        if record.state == "sound" or allowed:
            for kind in kinds_of(record):
                self._kinds[kind] = self._kinds.get(kind, 0) + 1
            length = len(record.octets)
            self._longest = max(self._longest, length)
            self._shortest = length if self._shortest is None else min(self._shortest, length)
        for rule in {f.rule for f in record.findings}:
            self._rules[rule] = self._rules.get(rule, 0) + 1

    def _is_allowed(self, record: FrameRecord) -> bool:
        """Whether nothing but allowed rules speaks against a frame."""
        known = (record.wrong, record.extra, record.missing, record.residue)
        grave = {f.rule for f in record.findings if f.certainty in _GRAVE}
        return not any(known) and bool(grave) and grave <= self._standing

    def judged(self, tally: Tally, laws: Sequence[Mapping[str, Any]]) -> tuple[dict[str, Any], ...]:
        """Each requirement: ``name``, ``wanted``, ``seen``, ``held``, ``says`` (one sentence)."""
        return tuple(self._judged(tally, laws))

    def _judged(self, tally: Tally, laws: Sequence[Mapping[str, Any]]) -> Iterator[dict[str, Any]]:
        t = self._table
        yield _at_least("frames.at_least", t.at_least, tally.frames, "frames in all")
        yield self._damage(tally, laws)
        undecided = tally.cut + tally.cannot_tell
        yield _at_most("frames.undecided", t.undecided, undecided, "frames cut off or undecided")
        if t.shortest is not None:
            seen = self._shortest
            held = seen is not None and seen <= t.shortest
            says = f"the shortest sound frame has at most {t.shortest} octets: {_octets(seen)}"
            yield _one("frames.shortest", t.shortest, seen, held, says)
        if t.longest is not None:
            says = f"the longest sound frame has at least {t.longest} octets"
            says += f": {_octets(self._longest or None)}"
            held = self._longest >= t.longest
            yield _one("frames.longest", t.longest, self._longest, held, says)
        for kind, wanted in t.seen.items():
            yield _at_least(f"seen.{kind}", wanted, self._kinds.get(kind, 0), f"sound {kind}")
        for note in t.raised:
            if self._today <= note.until:
                count = self._rules.get(note.rule, 0)
                yield _at_most(f"raise.{note.rule}", 0, count, f"frames that break {note.rule}")
        yield from self._ended()

    def _damage(self, tally: Tally, laws: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
        left = tally.damaged - self._allowed
        note = next((n for n in self._table.tolerate if self._stands(n, laws)), None)
        if note is not None:
            left = min(left, int((laws[0].get("fails") or {}).get("count", 0)))
        return _at_most(
            "frames.damaged", self._table.damaged, left, "damaged frames beyond what is allowed"
        )

    def _stands(self, note: LawNote, laws: Sequence[Mapping[str, Any]]) -> bool:
        """Whether the law that was found is the one that is known."""
        if not laws or self._today > note.until:
            return False
        law = laws[0]
        found = law.get("parameters") or {}
        same = all(found.get(k) == v for k, v in note.parameters.items())
        return law.get("family") == note.family and same

    def _ended(self) -> Iterator[dict[str, Any]]:
        """What was allowed, raised or tolerated until a day that has passed."""
        t = self._table
        notes: list[tuple[str, RuleNote | LawNote]] = [
            *((f"allow.{n.rule}", n) for n in t.allow),
            *((f"raise.{n.rule}", n) for n in t.raised),
            *((f"tolerate.{n.family}", n) for n in t.tolerate),
        ]
        for name, note in notes:
            if self._today > note.until:
                says = f"{name} ended on {note.until}: mend what it was for, or give a new day"
                yield _one(name, str(note.until), str(self._today), False, says)


def _octets(seen: int | None) -> str:
    return "there is no sound frame" if seen is None else f"it has {seen}"


def _at_least(name: str, wanted: int, seen: int, what: str) -> dict[str, Any]:
    return _one(name, wanted, seen, seen >= wanted, f"at least {wanted} {what}: {seen} seen")


def _at_most(name: str, wanted: int, seen: int, what: str) -> dict[str, Any]:
    limit = f"at most {wanted}" if wanted else "no"
    return _one(name, wanted, seen, seen <= wanted, f"{limit} {what}: {seen} seen")


def _one(name: str, wanted: Any, seen: Any, held: bool, says: str) -> dict[str, Any]:
    return {"name": name, "wanted": wanted, "seen": seen, "held": held, "says": says}
