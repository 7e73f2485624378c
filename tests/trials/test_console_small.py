"""A few hundred trials of console damage: no frame is wrong without a word.

``python -m tests.trials.console`` runs as many as one likes, and prints what went wrong.
"""

from __future__ import annotations

from tests.trials.console import counted
from tests.trials.faults import FAULTS
from tests.trials.judge import PAIRS, outcomes, trial
from tests.trials.logs import LAYOUTS, render, text_of

TRIALS = 300
SEED = 1
UNSURE: list[str] = []
"""Layouts in which not every frame is read exactly from a log without a fault; can only shrink."""


def wrong_pairs() -> list[tuple[str, str]]:
    """Fault and layout of each trial with a wrong frame."""
    return sorted({key[:2] for _, key in counted(SEED, 0, TRIALS) if key[2] == "wrong"})


def unsure_layouts() -> list[str]:
    """Layouts in which not every frame of a log without a fault is read exactly."""
    numbers = [n for n in range(5 * len(PAIRS)) if PAIRS[n % len(PAIRS)][0] == "none"]
    assert len(numbers) == 5 * len(LAYOUTS)
    unsure = set()
    for given in (trial(n, 0) for n in numbers):
        if any(o.word != "exact" for o in outcomes(given)):
            unsure.add(given.plan.layout)
    return sorted(unsure)


def test_a_wrong_frame_has_a_word():
    assert wrong_pairs() == []


def test_a_sound_console_is_read_exactly_but_for_those_listed():
    """Without a fault each octet is right, at its place, and nothing decisive is doubted."""
    assert unsure_layouts() == UNSURE


def test_each_fault_damages_the_text():
    for number, (fault, _) in enumerate(PAIRS):
        given = trial(number, SEED)
        assert (text_of(given.cells) == given.clean) == (fault == "none"), (fault, number)
    assert len(FAULTS) == 12


def test_labels_stand_at_the_digits_of_their_octets():
    for number in range(len(LAYOUTS)):
        given = trial(number, SEED).plan
        digits: dict[tuple[int, int], str] = {}
        for character, label in render(given).cells:
            if label:
                digits[label] = digits.get(label, "") + character
        truth = {
            (f, i): f"{octet:02x}" for f, o in enumerate(given.octets) for i, octet in enumerate(o)
        }
        assert digits == truth
