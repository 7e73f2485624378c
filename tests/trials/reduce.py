"""The shortest log that still shows what a trial showed: lines that do not matter go."""

from __future__ import annotations

from tests.trials.faults import lines_of
from tests.trials.judge import Outcome, Trial, outcomes
from tests.trials.logs import Cell


def reduced(given: Trial, outcome: Outcome) -> tuple[Trial, Outcome]:
    """The trial without the lines that change nothing about the outcome.

    Lines with digits of the frame itself stay, so that its truth stays what it was.
    """
    lines = lines_of(given.cells)
    at = len(lines)
    while at:
        at -= 1
        line = lines[at]
        if any(label and label[0] == outcome.frame for _, label in line):
            continue
        shorter = given._replace(cells=_joined(lines[:at] + lines[at + 1 :]))
        again = _same(shorter, outcome)
        if again:
            given, outcome = shorter, again
            del lines[at]
    return given, outcome


def _joined(lines: list[list[Cell]]) -> list[Cell]:
    return [cell for line in lines for cell in line]


def _same(given: Trial, outcome: Outcome) -> Outcome | None:
    for found in outcomes(given):
        if found[:3] == outcome[:3]:
            return found
    return None
