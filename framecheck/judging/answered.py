"""Octets that are equal in a request and in its answer: they came as they were sent.

An octet that a standard lets an answer repeat, and that stands in both, is vouched for, whatever
the sums of the answer say.
"""

from __future__ import annotations

from functools import cache

from framecheck.core.shelf import load, modules
from framecheck.core.span import Range, merged, runs
from framecheck.core.view import View
from framecheck.judging._answers import Answer

_ANSWERS = "framecheck.judging.answers"


def answered(view: View) -> tuple[Range, ...]:
    """Ranges of the frame's octets that an earlier frame of the input asked for.

    Empty for what is no answer, or the answer to nothing that came before.
    """
    if view.past is None:
        return ()
    found: list[Range] = []
    for layer in view.layers:
        if layer.quoted:
            break
        for answer in _of(layer.kind):
            for at, octets in answer.repeats(layer, view):
                there = view.octets[at : at + len(octets)]
                equal = map(int.__eq__, there, octets)
                found += runs(at + i for i, same in enumerate(equal) if same)
    return merged(found)


@cache
def _of(kind: str) -> tuple[Answer, ...]:
    return load(_ANSWERS, kind, Answer) if kind in modules(_ANSWERS) else ()
