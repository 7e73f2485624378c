"""Writes ``vectors/console``: logs with one fault of the console each, and what is true of them.

``python -m tests.trials.make_damaged`` writes them anew, from the recorded traffic, as the trials
make them: for each fault the first short log of which a frame can be put right, and the first of
which one can only be doubted. ``NAME.json`` gives for each frame that is found the line of its
first octet, its true octets, and what has to be said of it: ``exact``, ``healed`` or ``doubted``.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

from tests.trials.faults import FAULTS
from tests.trials.judge import PAIRS, Outcome, Trial, outcomes, trial
from tests.trials.logs import text_of

FOLDER = Path(__file__).resolve().parents[2] / "vectors" / "console"
SEED = 11
TURNS = 4
"""How often each fault meets each layout, at the most."""
LONGEST = 4000
WORDS = ("healed", "doubted")
SAID = ("exact", *WORDS)


def logs() -> Iterator[tuple[str, Trial, list[Outcome]]]:
    """Name, trial and outcomes of every log."""
    for fault in FAULTS:
        wanted = [] if fault == "none" else list(WORDS)
        for number in range(TURNS * len(PAIRS)):
            if not wanted:
                break
            if PAIRS[number % len(PAIRS)][0] != fault:
                continue
            given = trial(number, SEED)
            if len(given.cells) > LONGEST:
                continue
            found = outcomes(given)
            words = [o.word for o in found if o.word != "exact"]
            for word in wanted[:]:
                if word in words and set(words) <= set(SAID) and all(o.records for o in found):
                    wanted.remove(word)
                    yield f"{fault.replace(' ', '-')}-{word}", given, found
                    break


def main() -> None:
    """Write all vectors."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    for name, given, found in logs():
        frames = [
            {
                "line": record.frame.dump.places.rows[0].line,
                "truth": given.plan.octets[outcome.frame or 0].hex(),
                "says": outcome.word,
            }
            for outcome in found
            for record in outcome.records
        ]
        text = {"fault": given.fault, "layout": given.plan.layout, "frames": frames}
        (FOLDER / f"{name}.log").write_text(text_of(given.cells), newline="")
        (FOLDER / f"{name}.json").write_text(json.dumps(text, indent=1) + "\n")


if __name__ == "__main__":
    main()
