"""A plan in words and as JSON: what to send, what each length would decide, how to send it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from framecheck.probes.build import CAUTION, FORMAT, VERSION
from framecheck.probes.openings import Opening
from framecheck.probes.plan import Plan

Line = tuple[str, str]
"""A label, and the text behind it."""
SWEEP_COMMAND = "framecheck probe build --sweep"
ADVICE = (
    "Fill the buffer before each transfer with odd-parity: the octets of a probe have even "
    "parity, so that each one tells written from never written. Never fill with zeros.",
    "In one run fill it once only, before the first frame: that tells the fill from the frame "
    "before.",
    "Repeat one length 20 times for what comes at random (lines of a cache) or by count (a ring).",
    "Frames shorter than 60 octets are padded by their sender; no probe is shorter.",
)


def law_name(law: Mapping[str, Any]) -> str:
    """A law in a few words: its family and parameters."""
    numbers = ", ".join(f"{k} {v}" for k, v in law["parameters"].items())
    then = law.get("then")
    return f"{law['family']} {numbers}".strip() + (f" then {law_name(then)}" if then else "")


def decides(plan: Plan, parts: Sequence[Sequence[int]]) -> str:
    """Which laws one length parts from which."""
    named = []
    for part in parts[:4]:
        more = f" and {len(part) - 1} more" if len(part) > 1 else ""
        named.append(law_name(plan.laws[part[0]]) + more)
    return " | ".join(named) + (f" | {len(parts) - 4} groups more" if len(parts) > 4 else "")


def commands(lengths: Sequence[int], repeat: int = 1) -> str:
    """The command that builds these probes."""
    times = f" --repeat {repeat}" if repeat > 1 else ""
    return f"framecheck probe build --lengths {','.join(map(str, lengths))}{times}"


def opening_lines(found: Sequence[Opening]) -> Iterator[Line]:
    """The fixed openings for a person."""
    yield "", "nothing is known yet: begin with a few lengths, and go on while nothing is decided"
    for n, opening in enumerate(found, 1):
        yield "", ""
        yield f"{n}. lengths  ", " ".join(map(str, opening.lengths))
        yield "   decides  ", opening.decides
        yield "   parts    ", f"{opening.parts} of {opening.laws} granules, with the lengths before"
    yield "", ""
    yield "build       ", commands(found[0].lengths)
    yield from _ending()


def plan_lines(plan: Plan) -> Iterator[Line]:
    """The plan that parts standing laws, for a person."""
    yield "", f"laws that stand: {len(plan.laws)}"
    yield from (("  ", law_name(law)) for law in plan.laws[:8])
    if len(plan.laws) > 8:
        yield "  ", f"and {len(plan.laws) - 8} more"
    for n, step in enumerate(plan.steps, 1):
        yield "", ""
        yield f"{n}. length   ", f"{step.length}"
        yield "   decides  ", decides(plan, step.parts)
        yield (
            "   tells    ",
            f"{step.bits:.2f} bits; then {step.left} of {len(plan.laws)} stand apart",
        )
    for same in plan.equal:
        names = ", ".join(law_name(plan.laws[i]) for i in same[:4])
        yield "", ""
        yield "", f"no length parts: {names}{' and others' if len(same) > 4 else ''}"
    if len(plan.laws) == 1:
        yield "", ""
        yield "", "no rival is left: the lengths of the sweep put the law to the test"
    yield "", ""
    lengths = [step.length for step in plan.steps]
    yield "build       ", commands(lengths, plan.repeat) if lengths else SWEEP_COMMAND
    yield from _ending()


def _ending() -> Iterator[Line]:
    for paragraph in (*ADVICE, CAUTION):
        yield "", ""
        yield "", paragraph


def opening_json(found: Sequence[Opening]) -> dict[str, Any]:
    """The openings as JSON; see ``plan_json``."""
    steps = [
        {
            "lengths": list(o.lengths),
            "decides": o.decides,
            "laws": o.laws,
            "apart": o.parts,
            "bits": None,
            "repeat": 1,
        }
        for o in found
    ]
    return _json([], steps, [])


def plan_json(plan: Plan) -> dict[str, Any]:
    """The plan as JSON.

    ``format``, ``version``; ``what`` is ``plan``; ``laws`` that stand, as a sheet states rivals;
    ``steps`` in the order in which to send them, each with ``lengths`` (octets without FCS),
    ``decides`` (words), ``laws`` (how many it is held against), ``apart`` (groups of them that can
    be told apart when its answer is in), ``bits`` (what it tells on the average; null for the
    openings) and ``repeat``; ``equal``: groups of laws, as places in ``laws``, that no length
    parts; ``advice``, ``caution``.
    """
    steps = [
        {
            "lengths": [s.length],
            "decides": decides(plan, s.parts),
            "laws": len(plan.laws),
            "apart": s.left,
            "bits": s.bits,
            "repeat": plan.repeat,
        }
        for s in plan.steps
    ]
    laws = [
        {k: law.get(k) for k in ("family", "parameters", "from", "when", "then")}
        for law in plan.laws
    ]
    return _json(laws, steps, [list(part) for part in plan.equal])


def _json(laws: list[Any], steps: list[Any], equal: list[Any]) -> dict[str, Any]:
    return {
        "format": FORMAT,
        "version": VERSION,
        "what": "plan",
        "laws": laws,
        "steps": steps,
        "equal": equal,
        "advice": list(ADVICE),
        "caution": CAUTION,
    }
