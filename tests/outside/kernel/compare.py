"""Our fate held against what the hosts did, frame by frame, and the table of it.

python -m tests.outside.kernel.compare         # the stored answers
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache
from typing import NamedTuple

from tests.outside.kernel import meaning
from tests.outside.kernel.explained import CLASSES, Explained
from tests.outside.kernel.fates import Judged, agrees, judged
from tests.outside.kernel.frames import Shown
from tests.outside.kernel.meaning import Ends
from tests.outside.kernel.table import HOSTS, read, stored

_MEANING: Mapping[str, Callable[[str, bytes], Ends]] = {
    "kernel": meaning.kernel,
    "small": meaning.small,
}


class Compared(NamedTuple):
    """One frame, what a host showed, and what becomes of the difference, if there is one."""

    frame: Shown
    seen: str
    ends: Ends
    ours: Judged
    agrees: bool
    explained: Explained | None

    @property
    def says(self) -> str:
        """The frame and the difference in one line."""
        fate = self.ours.fate
        return (
            f"{self.frame.family} of {self.frame.base}: ours {fate.outcome} {fate.step} "
            f"{fate.rule}, the host {sorted(self.ends)} ({self.seen}); {self.frame.octets.hex()}"
        )


def compare(host: str, frames: Iterable[Shown], seen: Iterable[str]) -> Iterator[Compared]:
    """Each frame with what the host showed for it, held against our fate."""
    for frame, words in zip(frames, seen, strict=True):
        ends = _MEANING[host](words, frame.octets)
        ours = _judged(frame.octets)
        same = agrees(ours.fate, ends)
        reason = None if same else _reason(host, ours, ends)
        yield Compared(frame, words, ends, ours, same, reason)


@cache
def _judged(octets: bytes) -> Judged:
    return judged(octets)


def _reason(host: str, ours: Judged, ends: Ends) -> Explained | None:
    return next((c for c in CLASSES if host in c.hosts and c.holds(ours, ends)), None)


def _table(found: Iterable[Compared]) -> Iterator[str]:
    """Rows: each family, then each reason."""
    families: dict[str, Counter[str]] = {}
    reasons: Counter[str] = Counter()
    for one in found:
        row = families.setdefault(one.frame.family, Counter())
        row["frames"] += 1
        if one.agrees:
            row["agree"] += 1
            row["exactly"] += len(one.ends) == 1
        else:
            row["explained" if one.explained else "unexplained"] += 1
            reasons[one.explained.name if one.explained else "unexplained"] += 1
    columns = ("frames", "agree", "exactly", "explained", "unexplained")
    yield f"{'family':<18}" + "".join(f"{c:>13}" for c in columns)
    total: Counter[str] = sum(families.values(), Counter())
    for name, row in (*families.items(), ("all", total)):
        yield f"{name:<18}" + "".join(f"{row[c]:>13}" for c in columns)
    yield ""
    by_name = {c.name: c.reason for c in CLASSES}
    for name, count in reasons.most_common():
        yield f"{count:>5}  {name}: {by_name.get(name, '')}"


def main() -> int:
    """Print the table of each host; 1 when a difference is not explained."""
    left = 0
    for host in HOSTS:
        found = list(compare(host, stored(), read(host)))
        print(f"\n{host}\n" + "\n".join(_table(found)))
        unexplained = [c for c in found if not c.agrees and c.explained is None]
        print("\n".join(c.says for c in unexplained))
        left += len(unexplained)
    return 1 if left else 0


if __name__ == "__main__":
    sys.exit(main())
