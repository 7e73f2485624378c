"""Whether octets that are said to be of an earlier frame are, and the number of buffers said.

``python -m tests.machines.old --trials 3``: every machine, refilled or filled once, with 1 and 3
buffers; each dump is held against what was sent.
"""

from __future__ import annotations

import argparse
import random
from collections import Counter
from collections.abc import Iterator

from framecheck.damage import fill
from framecheck.evidence import Buffers, compare
from tests.machines.board import Setting, run
from tests.machines.cells import LEFT
from tests.machines.octets import meant
from tests.machines.trial import FAMILIES, STRANGER_NAMES, Trial, trial

SETTINGS = tuple(Setting("odd-parity", refill, n) for refill in (True, False) for n in (1, 3))


def counted(given: Trial) -> Counter[str]:
    """Octets claimed for a fill and an earlier frame, and numbers of buffers; right and wrong."""
    found: Counter[str] = Counter()
    buffers, numbers = Buffers(fill(given.setting.fill)), {}
    for number, dump in enumerate((d for d in given.printed if d is not None), 1):
        numbers[number] = dump
        sent = given.sent[meant(dump, given)]
        octets = dump.octets
        before = buffers.held(0, len(octets))
        truth = compare(octets, sent, before).truth
        for old in buffers.look(number, octets, (0, len(octets)), truth=truth):
            for i in range(old.start, old.stop):
                cell = dump.cells[i]
                if old.holds == "fill":
                    found[f"fill {cell.frame == LEFT}"] += 1
                else:
                    found[f"frame {cell.frame not in (meant(dump, given), LEFT)}"] += 1
                    if old.frame is not None:
                        left = numbers[old.frame].cells
                        same = i < len(left) and left[i][:2] == cell[:2]
                        found[f"source {same}"] += 1
            if old.buffers is not None and old.holds != "fill":
                found[f"buffers {old.buffers == given.setting.buffers}"] += 1
    return found


def lines(trials: int, traffic: str) -> Iterator[str]:
    """The table, a line for each machine for which something is wrong, and one for all."""
    kinds = ("fill", "frame", "source", "buffers")
    yield f"{'machine':16}" + "".join(f"{k:>10}{'wrong':>7}" for k in kinds)
    everything: Counter[str] = Counter()
    for family in (*FAMILIES, *STRANGER_NAMES):
        found: Counter[str] = Counter()
        for number in range(trials):
            given = trial(family, number, traffic, 0.0)
            for setting in SETTINGS:
                printed = run(given.machine, given.sent, setting, random.Random(number))
                found += counted(given._replace(setting=setting, printed=printed))
        everything += found
        if any(found[f"{k} False"] for k in kinds):
            yield _line(family, found, kinds)
    yield _line("all", everything, kinds)


def _line(name: str, found: Counter[str], kinds: tuple[str, ...]) -> str:
    columns = ((found[f"{k} True"] + found[f"{k} False"], found[f"{k} False"]) for k in kinds)
    return f"{name:16}" + "".join(f"{said:10}{wrong:7}" for said, wrong in columns)


def main() -> None:
    """The command line."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--trials", type=int, default=3, help="of each machine")
    parser.add_argument("--traffic", default="ordinary")
    options = parser.parse_args()
    for line in lines(options.trials, options.traffic):
        print(line, flush=True)


if __name__ == "__main__":
    main()
