"""The table of what the law engine makes of the machines, family by family.

``python -m tests.machines.table --trials 300`` runs every part; ``--part sweep --family granule``
some of it. The same numbers give the same trials. Each part names its own target. With ``--direct``
frames are handed to the law engine past log, reader and pairing, which is several times faster.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from itertools import repeat
from typing import Any, NamedTuple

from tests.machines.tool import NoAnswerError, direct, laws
from tests.machines.trial import (
    FAMILIES,
    STRANGER_NAMES,
    Trial,
    parts,
    right,
    same_on_evidence,
    trial,
)

APART = ("sound", "chain", "conditional")
"""Families with parts of their own."""
MARGIN = 10.0
"""Bits from which on a law is said without reserve: odds of a thousand to one."""
Ask = Callable[[Trial], Sequence[dict[str, Any]]]


class Part(NamedTuple):
    """A part of the table: which trials, and what is hoped for."""

    families: tuple[str, ...]
    traffic: str
    noise: float
    target: str


PARTS = {
    "sweep": Part(
        tuple(f for f in FAMILIES if f not in APART),
        "sweep",
        0.01,
        "first 99 %, wrong with a margin of 10 bits 0.1 %",
    ),
    "ordinary": Part(
        tuple(f for f in FAMILIES if f not in (*APART, "unrelated")),
        "ordinary",
        0.0,
        "of the visible: in the set 95 %, next parts 90 %",
    ),
    "bring-up": Part(
        tuple(f for f in FAMILIES if f not in (*APART, "unrelated")),
        "bring-up",
        0.0,
        "none; for comparison",
    ),
    "granule 63 78 95": Part(("granule, aligned",), "63 78 95", 0.01, "first 99 %"),
    "granule, any phase": Part(("granule, any phase",), "60 135 161 210 798 347", 0.01, "99 %"),
    "chains": Part(("chain",), "sweep", 0.01, "first 90 %"),
    "conditions": Part(("conditional",), "sweep", 0.01, "none; measured"),
    "open": Part(STRANGER_NAMES, "sweep", 0.0, "wrong law certain at most 1 %"),
    "sound": Part(("sound",), "ordinary", 0.0, "sound in all"),
}


class Row(NamedTuple):
    """What came of one trial; None where the question does not arise."""

    visible: bool
    first: bool
    in_set: bool
    next_parts: bool | None
    wrong_margin: bool
    wrong_certain: bool
    said: str


def judged(given: Trial, answers: Sequence[dict[str, Any]]) -> Row:
    """An answer of the tool, ranked laws, held against the truth."""
    visible = given.visible
    if not answers:
        return Row(visible, False, False, None, False, False, "no law")
    best = answers[0]
    shown = [best, *best["rivals"]]
    first = right(best, given.law) or _as_far_as_seen(best, given)
    named = () if first else best["rivals"]
    among = [r for r in named if right(r, given.law) or _as_far_as_seen(r, given)]
    in_set = first or bool(among)
    parted = None
    length = _length(best["next"])
    if len(shown) > 1 and length is not None and given.law.family != "sound":
        next_ = best["next"]
        frames, addresses = next_.get("frames", 1), next_.get("addresses")
        parted = parts(shown, length, given.setting, frames, addresses)
    harmless = first or best["family"] in ("sound", "unrelated")
    alike = harmless or (given.law.family != "stranger" and same_on_evidence(best, given))
    far = (best["margin"] or 0.0) >= MARGIN and not alike
    says = f"{best['family']} {best['parameters']}" + (" then" if best["then"] else "")
    vouched = harmless or any(_but_for_shift(best) == _but_for_shift(rival) for rival in among)
    return Row(visible, first, in_set, parted, far, bool(best["certain"]) and not vouched, says)


def _but_for_shift(law: dict[str, Any]) -> tuple[Any, ...]:
    """What ``certain`` vouches for: family and numbers, while the laws that count from elsewhere
    and are equal on the evidence are named as rivals."""
    shifts = ("lead", "trail", "most")
    numbers = {k: v for k, v in law["parameters"].items() if k not in shifts}
    return law["family"], numbers, law["when"], law["then"]


def _as_far_as_seen(best: dict[str, Any], given: Trial) -> bool:
    """Whether only the longest spill is another, where no length between the two was seen."""
    said, truth = best["parameters"], given.law.parameters
    same = best["family"] == given.law.family == "piece" and said.get("m") == truth["m"]
    return same and same_on_evidence(best, given)


def _length(next_: Any) -> int | None:
    """The frame length of the probe that the tool would send next."""
    if isinstance(next_, dict):
        lengths = next_.get("length", next_.get("lengths"))
        if isinstance(lengths, list):
            return int(lengths[0]) if lengths else None
        return int(lengths) if lengths is not None else None
    return None


def row(part: str, family: str, number: int, past_text: bool) -> Row:
    """One trial of a part, asked and judged."""
    ask: Ask = direct if past_text else laws
    chosen = PARTS[part]
    given = trial(family, number, chosen.traffic, chosen.noise)
    return judged(given, ask(given))


def lines(
    part: str, families: Sequence[str], trials: int, workers: int, past_text: bool
) -> Iterator[str]:
    """The part's table, a line at a time."""
    yield f"{part}: target {PARTS[part].target}"
    yield (
        f"{'family':20}{'trials':>7}{'visible':>8}{'first':>8}{'in set':>8}{'parts':>8}"
        f"{'wrong>=10':>10}{'certain':>8}{'ms':>7}  most often instead"
    )
    everything: list[Row] = []
    for family in families:
        start = time.perf_counter()
        rows = list(_rows(part, family, trials, workers, past_text))
        spent = (time.perf_counter() - start) / trials * 1000
        everything += [r for r in rows if r.visible or family == "sound"]
        yield _line(family, rows, spent)
    yield _line("all", everything, 0.0) + "\n"


def _rows(part: str, family: str, trials: int, workers: int, past_text: bool) -> Iterator[Row]:
    columns = (repeat(part, trials), repeat(family), range(trials), repeat(past_text))
    if workers < 2:
        yield from map(row, *columns)
        return
    with ProcessPoolExecutor(workers) as pool:
        yield from pool.map(row, *columns, chunksize=4)


def _line(family: str, rows: Sequence[Row], spent: float) -> str:
    seen = [r for r in rows if r.visible or family in ("sound", "all")]
    asked = [r for r in seen if r.next_parts is not None]
    instead = Counter(r.said for r in seen if not r.first).most_common(2)
    return (
        f"{family:20}{len(rows):7}{len(seen):8}{_share(sum(r.first for r in seen), seen):>8}"
        f"{_share(sum(r.in_set for r in seen), seen):>8}"
        f"{_share(sum(bool(r.next_parts) for r in asked), asked):>8}"
        f"{sum(r.wrong_margin for r in rows):10}{sum(r.wrong_certain for r in rows):8}{spent:7.0f}"
        f"  {'; '.join(f'{n} x {said}' for said, n in instead)}"
    )


def _share(count: int, of: Sequence[Row]) -> str:
    return f"{100 * count / len(of):.1f} %" if of else "-"


def main() -> int:
    """The command line."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--trials", type=int, default=20, help="of each family")
    parser.add_argument("--family", action="append", help="only these")
    parser.add_argument("--part", action="append", choices=list(PARTS), help="only these")
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--direct", action="store_true", help="past log, reader and pairing")
    options = parser.parse_args()
    for part in options.part or PARTS:
        families = [
            f for f in PARTS[part].families if f in (options.family or PARTS[part].families)
        ]
        try:
            if families:
                for line in lines(part, families, options.trials, options.workers, options.direct):
                    print(line, flush=True)
        except NoAnswerError as stop:
            print(f"the tool gave no sheet (exit code {stop})", file=sys.stderr)
            return 2
    return 0


if __name__ == "__main__":
    sys.exit(main())
