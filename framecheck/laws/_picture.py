"""What a report of a law shows: frames by length, and the states of their octets."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from framecheck.laws._lengths import place_law
from framecheck.laws._model import UNWRITTEN, Law
from framecheck.laws._sample import Case, Sample
from framecheck.laws._score import foretold, under, values

MOST_ROWS = 24
_SHOWN, _AROUND = 16, 4
"""Octets of a frame that are shown, and of them in front of the first wrong one."""
RIGHT, WRONG, OLD, FALLEN, NONE = "=", "x", "~", "?", " "
"""Right; wrong against the law; unwritten as the law says; not known; beyond the frame."""


def picture(law: Law, looked: Sample) -> Mapping[str, Any]:
    """Rows of the table by length, the width of the fold, and two frames side by side."""
    cases = sorted(looked.cases, key=lambda c: (c.length, c.seen.order, c.seen.number))
    by_length: dict[int, list[Case]] = {}
    for case in cases:
        by_length.setdefault(case.length, []).append(case)
    rows = [_row(law, n, group) for n, group in by_length.items()]
    return {
        "width": width(law),
        "indent": indent(law),
        "rows": rows,
        "fold": _fold(law, by_length),
        "pair": _pair(cases),
        "place": place_law(law),
    }


def width(law: Law) -> int:
    """At how many octets a row of the fold is as the law is."""
    p = law.parameters
    for name in ("n", "width", "m"):
        if isinstance(p.get(name), int) and 2 <= p[name] <= 64:
            n = int(p[name])
            return n * max(1, 32 // n)
    return 32


def indent(law: Law) -> int:
    """How far octet 0 stands from a row's start, so that what the law counts from begins rows."""
    p = law.parameters
    if law.family == "stale-lines":
        return int(-p["phase"] % p["size"])
    return int(p.get("lead", 0))


def _row(law: Law, length: int, group: list[Case]) -> dict[str, Any]:
    """What happened at the ends of the frames of one length."""
    told = [(c, under(law, c)) for c in group]
    spoilt = [(c, seen) for c, seen in told if c.damaged and c.received is not None]
    shown = min(spoilt or told, key=lambda t: t[1].bits)[0]
    failed = sum(c.weight for c, seen in told if not seen.holds)
    received = [len(c.received) for c in group if c.received is not None]
    made, _ = foretold(law, shown)
    first = None
    old = 0
    if made is not None:
        where = np.flatnonzero(made.states == UNWRITTEN)
        old = len(where)
        first = int(where[0]) if old else None
    return {
        "length": length,
        "frames": round(sum(c.weight for c in group)),
        "came": len(received) > 0,
        "received": min(received) if received else None,
        "behind": max(0, old - length + first) if first is not None else 0,
        "unwritten": old,
        "from": first,
        "wrong": _wrong(shown),
        "in": round(sum(c.weight for c, _ in spoilt)),
        "against": round(failed),
    }


def _wrong(case: Case) -> list[int]:
    """First and last octet that is not what was sent, and their number."""
    if case.received is None or case.blind:
        return []
    size = min(case.length, len(case.received))
    at = np.flatnonzero(case.sent[:size] != case.received[:size])
    return [int(at[0]), int(at[-1]), len(at)] if len(at) else []


def states(law: Law, case: Case) -> str:
    """One character an octet of what was received."""
    if case.received is None:
        return ""
    made, _ = foretold(law, case)
    size = len(case.received)
    if made is None:
        made = case.stream()
    expected, known = values(case, made, law.source)
    there = case.received[: len(expected)]
    old = made.states[: len(expected)] == UNWRITTEN
    right, wrong, kept, fallen = (np.uint8(ord(mark)) for mark in (RIGHT, WRONG, OLD, FALLEN))
    marks = np.where(expected == there, np.where(old, kept, right), wrong)
    marks = np.where(known, marks, np.where(old, kept, fallen))
    return marks.tobytes().decode("ascii") + FALLEN * (size - len(expected))


def _fold(law: Law, by_length: Mapping[int, list[Case]]) -> list[tuple[int, str]]:
    """The states of one frame of each length, the shorter ones first."""
    chosen = []
    for length, group in by_length.items():
        came = [c for c in group if c.received is not None]
        if came:
            shown = next((c for c in came if c.damaged and under(law, c).holds), came[0])
            chosen.append((length, states(law, shown)))
        if len(chosen) == MOST_ROWS:
            break
    return chosen


def _pair(cases: list[Case]) -> dict[str, Any] | None:
    """The last frame that came whole and the first that did not, by length."""
    came = [c for c in cases if not c.blind]
    bad = [c for c in came if c.damaged]
    good = [c for c in came if not c.damaged]
    if not bad or not good:
        return None
    first = bad[0]
    shorter = [c for c in good if c.length <= first.length]
    last = shorter[-1] if shorter else good[0]
    at = _begins(first)
    return {"good": _side(last, at), "bad": _side(first, at)}


def _begins(case: Case) -> int:
    """A little in front of the first octet that is not as it was sent."""
    wrong = _wrong(case)
    came = case.length if case.received is None else len(case.received)
    return max(0, (wrong[0] if wrong else min(case.length, came)) - _AROUND)


def _side(case: Case, at: int) -> dict[str, Any]:
    """Octets of a frame from ``at`` on, or its last ones where it is shorter."""
    at = max(0, min(at, case.length - _SHOWN))
    received = None if case.received is None else case.received.tobytes()[at : at + _SHOWN]
    return {
        "input": case.seen.input,
        "number": case.seen.number,
        "length": case.length,
        "at": at,
        "received": received,
        "sent": case.sent.tobytes()[at : at + _SHOWN],
        "wrong": _wrong(case),
    }
