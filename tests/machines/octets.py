"""How exactly the wrong octets are told, given what was sent: precision and recall by family.

``python -m tests.machines.octets --trials 20``; ``--spoilt 0.3`` changes that share of all printed
octets besides; ``--whole`` asks ``framecheck check`` with the log's text instead of the
comparison alone.
"""

from __future__ import annotations

import argparse
import random
import time
from collections import Counter
from collections.abc import Iterator
from typing import NamedTuple

from framecheck.evidence import compare
from tests.machines.board import Print, wrong
from tests.machines.cells import Cell, filled, values
from tests.machines.tool import sheet
from tests.machines.trial import FAMILIES, Trial, trial

SHARE = 0.3
"""Share of a set's octets that may be wrong for it to count."""


class Count(NamedTuple):
    """Octets said and truly wrong, and the same by frame."""

    both: int = 0
    said: int = 0
    true: int = 0
    frames: int = 0
    exact: int = 0

    def __add__(self, other: object) -> Count:
        """The sum, column by column."""
        assert isinstance(other, tuple)
        return Count(*(a + b for a, b in zip(self, other, strict=True)))


def spoilt(given: Trial, share: float, number: int) -> Trial:
    """The same trial with a share of all octets changed behind the machine, on the driver's bus."""
    random_ = random.Random(number)

    def changed(cell: Cell) -> Cell:
        spoils = random_.random() < share
        return cell._replace(value=cell.value ^ random_.randrange(1, 256)) if spoils else cell

    printed = [
        dump and dump._replace(cells=[changed(cell) for cell in dump.cells])
        for dump in given.printed
    ]
    return given._replace(printed=printed)


def meant(dump: Print, given: Trial) -> int:
    """The sent frame that a dump is held against: what late frames hold is the frame that it is."""
    first = dump.cells[0].frame
    return first if given.law.family == "late" and first >= 0 else dump.sent


def counted(said: set[int], dump: Print, given: Trial) -> Count:
    """One frame's octets."""
    own = dump._replace(sent=meant(dump, given))
    true = wrong(own, given.sent, given.machine.by_origin)
    if given.machine.by_origin:  # of two copies of an octet either may be the one too many
        twice = Counter((c.frame, c.offset) for c in dump.cells)
        either = {i for i, c in enumerate(dump.cells) if twice[c.frame, c.offset] > 1}
        said, true = said - either, true - either
    return Count(len(said & true), len(said), len(true), 1, int(said == true))


def direct(given: Trial, know_fill: bool) -> Count:
    """By the comparison alone, each frame with its own."""
    total = Count()
    before = values(filled(given.setting.fill)) if know_fill and given.setting.refill else None
    for dump in given.printed:
        if dump is not None:
            sent = given.sent[meant(dump, given)]
            ranges = compare(dump.octets, sent, before).wrong
            total += counted({i for a, b in ranges for i in range(a, b)}, dump, given)
    return total


def whole(given: Trial) -> Count:
    """By the tool: log and capture in, sheet out."""
    total = Count()
    dumps = [dump for dump in given.printed if dump is not None]
    frames = sheet(given, "check")["frames"]
    if len(frames) != len(dumps):
        return total + Count(frames=len(dumps))
    for frame, dump in zip(frames, dumps, strict=True):
        if given.law.family == "late" and dump.cells[0].frame < 0:
            continue  # a buffer that nothing was ever written to: no frame was sent there
        head = sum(len(e["octets"]) // 2 for e in frame["envelope"] if e["side"] == "head")
        said = {head + i for a, b in frame["wrong"] for i in range(a, b)}
        total += counted(said, dump, given)
    return total


def lines(trials: int, options: argparse.Namespace) -> Iterator[str]:
    """The table."""
    yield (
        f"{'family':14}{'frames':>8}{'exact':>9}{'wrong':>9}{'precision':>11}{'recall':>9}{'ms':>7}"
    )
    everything = Count()
    for family in options.family or FAMILIES:
        total, start, used = Count(), time.perf_counter(), 0
        for number in range(trials):
            given = trial(family, number, options.traffic, 0.0)
            if options.spoilt:
                given = spoilt(given, options.spoilt, number)
            found = whole(given) if options.whole else direct(given, options.fill)
            octets = sum(len(d.cells) for d in given.printed if d)
            if found.true <= SHARE * octets or options.spoilt or options.all:
                total += found
                used += 1
        spent = (time.perf_counter() - start) * 1000 / max(1, total.frames)
        everything += total
        yield _line(family, total, spent)
    yield _line("all", everything, 0.0)


def _line(name: str, c: Count, spent: float) -> str:
    precision = f"{c.both / c.said:.4f}" if c.said else "-"
    recall = f"{c.both / c.true:.4f}" if c.true else "-"
    exact = f"{100 * c.exact / c.frames:.1f} %" if c.frames else "-"
    return f"{name:14}{c.frames:8}{exact:>9}{c.true:9}{precision:>11}{recall:>9}{spent:7.1f}"


def main() -> None:
    """The command line."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--trials", type=int, default=10, help="of each family")
    parser.add_argument("--family", action="append")
    parser.add_argument("--traffic", default="ordinary")
    parser.add_argument("--spoilt", type=float, default=0.0)
    parser.add_argument("--fill", action="store_true", help="the comparison knows the fill")
    parser.add_argument("--all", action="store_true", help="also sets with more damage")
    parser.add_argument("--whole", action="store_true")
    options = parser.parse_args()
    for line in lines(options.trials, options):
        print(line, flush=True)


if __name__ == "__main__":
    main()
