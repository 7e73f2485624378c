"""Trials of console damage: the table by fault and layout of what framecheck makes of it.

``python -m tests.trials.console --trials 100000``; ``--show wrong`` prints the first logs of a
class, as they were and as they became, with what was read. The same seed gives the same trials.
"""

from __future__ import annotations

import argparse
import os
import time
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from itertools import chain

from tests.trials.faults import FAULTS
from tests.trials.judge import WORDS, Outcome, Trial, outcomes, trial
from tests.trials.logs import text_of
from tests.trials.reduce import reduced

PIECE = 96
WIDE = 240
"""Characters of a line that are shown."""
Key = tuple[str, str, str, str]
"""Fault, layout, outcome, why."""


def counted(seed: int, first: int, last: int, written: bool = False) -> list[tuple[int, Key]]:
    """The outcomes of the trials from one number to another."""
    found = []
    for number in range(first, last):
        given = trial(number, seed, written=written)
        for outcome in outcomes(given):
            key = (given.fault, given.plan.layout, outcome.word, outcome.why)
            found.append((number, key))
    return found


def everything(
    trials: int, seed: int, workers: int, written: bool = False
) -> Iterator[tuple[int, Key]]:
    """The outcomes of all trials, in their order."""
    firsts = range(0, trials, PIECE)
    lasts = [min(trials, a + PIECE) for a in firsts]
    pieces = [seed] * len(lasts), firsts, lasts, [written] * len(lasts)
    if workers < 2:
        yield from chain.from_iterable(map(counted, *pieces))
        return
    with ProcessPoolExecutor(workers) as pool:
        yield from chain.from_iterable(pool.map(counted, *pieces))


def table(found: list[tuple[int, Key]]) -> str:
    """Outcomes by fault, by layout, and the wrong ones by both."""
    lines = []
    layouts = list(dict.fromkeys(key[1] for _, key in found))
    for title, column, names in (("fault", 0, list(FAULTS)), ("layout", 1, layouts)):
        count = Counter((key[column], key[2]) for _, key in found)
        lines.append(f"{title:26}" + "".join(f"{w:>11}" for w in WORDS))
        for name in names:
            lines.append(f"{name:26}" + "".join(f"{count[name, w]:11}" for w in WORDS))
        total = Counter(key[2] for _, key in found)
        lines += [f"{'all':26}" + "".join(f"{total[w]:11}" for w in WORDS), ""]
    pairs = Counter(key[:2] for _, key in found)
    wrong = Counter(key[:2] for _, key in found if key[2] == "wrong")
    lines.append("wrong frames of all, by layout and fault (. is 0)")
    lines += [f"  {letter} {fault}" for letter, fault in zip("abcdefghijkl", FAULTS, strict=True)]
    lines.append(f"{'':26}" + "".join(f"{x:>9}" for x in "abcdefghijkl"))
    for layout in layouts:
        cells = [(wrong[f, layout], pairs[f, layout]) for f in FAULTS]
        shown = [f"{w or '.'}/{n}" for w, n in cells]
        lines.append(f"{layout:26}" + "".join(f"{x:>9}" for x in shown))
    return "\n".join(lines)


def causes(found: list[tuple[int, Key]], word: str) -> str:
    """What a class consists of: fault and cause, how often, in which layouts, some trials."""
    groups: dict[tuple[str, str], list[tuple[int, str]]] = {}
    for number, (fault, layout, what, why) in found:
        if what == word:
            groups.setdefault((fault, why), []).append((number, layout))
    lines = []
    for (fault, why), cases in sorted(groups.items(), key=lambda g: -len(g[1])):
        layouts = Counter(layout for _, layout in cases)
        lines.append(f"{len(cases):6}  {fault}: {why}")
        lines.append("        " + ", ".join(f"{a} {n}" for a, n in layouts.most_common()))
        lines.append("        trials " + " ".join(str(n) for n, _ in cases[:6]))
    return "\n".join(lines)


def shown(given: Trial, outcome: Outcome) -> str:
    """A trial for a person: what the fault did to the text, and what was read."""
    given, outcome = reduced(given, outcome)
    text = text_of(given.cells).removesuffix("\n").split("\n")
    was = set(given.clean.split("\n"))
    lines = [f"trial {given.number}: {given.fault}, {given.plan.layout}: {outcome.word}"]
    for number, line in enumerate(text, 1):
        changed = " " if line in was else "!"
        lines.append(f"{changed}{number:3}  {line}"[:WIDE] if line.isprintable() else repr(line))
    if outcome.frame is not None:
        truth = given.plan.octets[outcome.frame]
        lines.append(f"  truth, {len(truth)}: {truth.hex()}"[:WIDE])
    for r in outcome.records:
        dump = r.frame.dump
        lines.append(f"  read, {len(dump.octets)}:  {dump.octets.hex()}"[:WIDE])
        lines.append(f"    {r.state}, lines {dump.places.lines()}, {dump.layout}")
        if dump.doubtful or dump.at_edge or dump.at_start:
            lines.append(f"    doubtful {dump.doubtful}, {dump.at_edge=}, {dump.at_start=}")
        lines += [f"    doubt {d.says}{' (decides)' if d.decides else ''}" for d in r.doubts]
        lines += [f"    {f.rule}: {f.says}" for f in r.findings]
    return "\n".join(lines)


def report(found: list[tuple[int, Key]], seed: int, word: str, written: bool = False) -> str:
    """Each cause of a class with the shortest of its first logs."""
    groups: dict[tuple[str, str], list[int]] = {}
    for number, (fault, _, what, why) in found:
        if what == word:
            groups.setdefault((fault, why), []).append(number)
    parts = []
    for (fault, why), numbers in sorted(groups.items(), key=lambda g: -len(g[1])):
        cases = [
            (given, outcome)
            for number in dict.fromkeys(numbers[:10])
            for given in [trial(number, seed, written=written)]
            for outcome in outcomes(given)
            if (outcome.word, outcome.why) == (word, why)
        ]
        shortest = min(cases, key=lambda c: len(c[0].plan.octets[c[1].frame or 0]))
        parts.append(f"### {len(numbers)} of {fault}: {why}\n\n{shown(*shortest)}")
    return "\n\n".join(parts)


def main() -> None:
    """The command line."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--trials", type=int, default=3000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--show", choices=WORDS, help="print the first logs of this class")
    parser.add_argument("--most", type=int, default=5, help="how many of them (default 5)")
    parser.add_argument("--report", action="store_true", help="a log for each cause of wrong")
    parser.add_argument("--only", type=int, nargs="*", help="show these trials, whatever they are")
    parser.add_argument("--written", action="store_true", help="in layouts that functions write")
    options = parser.parse_args()
    if options.only is not None:
        for number in options.only:
            given = trial(number, options.seed, written=options.written)
            for outcome in outcomes(given):
                if outcome.word == (options.show or outcome.word):
                    print(shown(given, outcome) + "\n")
        return
    start = time.perf_counter()
    found = list(everything(options.trials, options.seed, options.workers, options.written))
    took = time.perf_counter() - start
    print(table(found))
    rate = options.trials / took
    print(f"\n{options.trials} trials, seed {options.seed}: {rate:.0f} a second in all")
    print("\nwrong, by cause\n" + causes(found, "wrong"))
    if options.report:
        print("\n" + report(found, options.seed, options.show or "wrong", options.written))
    elif options.show:
        first = dict.fromkeys(n for n, key in found if key[2] == options.show)
        for number in list(first)[: options.most]:
            given = trial(number, options.seed, written=options.written)
            for outcome in outcomes(given):
                if outcome.word == options.show:
                    print("\n" + shown(given, outcome))


if __name__ == "__main__":
    main()
