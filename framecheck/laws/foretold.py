"""What laws, as the sheet states them, foretell for frames that were not sent yet."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from typing import Any

from framecheck.laws._lengths import SAMPLED, behaviour, place_law, ranges
from framecheck.laws._model import LENGTHS, Law, clause
from framecheck.laws.search import mechanisms


def law(stated: Mapping[str, Any]) -> Law | None:
    """The law that a sheet states, or None for a family that this library does not have."""
    mechanism = next((m for m in mechanisms() if m.family == stated["family"]), None)
    if mechanism is None:
        return None
    then = stated.get("then")
    return Law(
        mechanism, stated["parameters"], then=law(then) if then else None, when=stated.get("when")
    )


def brief(stated: Mapping[str, Any]) -> str:
    """What a law of a sheet says, its first clause: ``nothing beyond the first 600 octets ...``."""
    found = law(stated)
    if found is None:
        return str(stated["family"])
    said = clause(found)
    then = stated.get("then")
    return f"{said}, then {brief(then)}" if then else said


def behaviours(stated: Sequence[Mapping[str, Any]]) -> dict[int, list[Hashable]]:
    """For lengths from 60 to 1514 what each law does to a frame: equal for laws that do the same.

    Every length where all laws are unwritten ranges, else those at which laws usually part.
    """
    laws = [law(s) for s in stated]
    if all(x is not None and place_law(x) for x in laws):
        rows = [[tuple(edges) for edges in ranges(x).T.tolist()] for x in laws if x is not None]
        return dict(zip(LENGTHS, map(list, zip(*rows, strict=True)), strict=True))
    return {n: [None if x is None else behaviour(x, n) for x in laws] for n in SAMPLED}
