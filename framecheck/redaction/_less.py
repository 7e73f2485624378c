"""Frames that say something else with every choice of stand-ins: fewer of their octets change.

Which of them a verdict hangs on is found by trial: with all octets as they were the frame says what
it said, and what can be exchanged without changing that is. A part of a frame of which more than
half would have to stay is no way out.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import product

from framecheck.redaction._fewest import fewest
from framecheck.redaction._outcome import Draw, Redacted
from framecheck.redaction._standins import KINDS
from framecheck.redaction._work import Work, held_spans, hides_enough

_TURNS = (0, KINDS, KINDS + 2, KINDS + 3, KINDS + 4)
"""Numbers of own stand-ins of a frame that are tried."""
_MOST = 120
"""How often one frame is tried with one of them."""


class Less:
    """The trials of one log."""

    def __init__(
        self,
        run: Callable[[Draw], Redacted],
        leaves: Callable[[Sequence[Work]], bool],
        ways: Sequence[Sequence[Work]],
        most: int,
    ) -> None:
        """Trials with ``run``, ``most`` of them.

        ``leaves``: whether an address or a name is left in some frames; ``ways``: per frame of
        the log, how it may have been sent.
        """
        self._run = run
        self._leaves = leaves
        self._ways = ways
        self._most = most

    def of(self, outcome: Redacted, draw: Draw) -> Redacted:
        """The outcome of a choice, or one with which fewer frames say something else."""
        failed = {record.number for record, _ in outcome.differing}
        for found in self._ways:
            if found[0].record.number in failed:
                outcome, draw = self._frame(outcome, draw, found)
        return outcome

    def _frame(self, outcome: Redacted, draw: Draw, ways: Sequence[Work]) -> tuple[Redacted, Draw]:
        for turn, way in product(_TURNS, ways):
            if way.as_read or way.as_numbers:
                continue
            number = way.record.number
            drawn = draw._replace(own={**draw.own, number: turn})
            stay = fewest(held_spans(way), lambda s: self._holds(drawn, way, s), _MOST)  # noqa: B023
            if stay is None or not hides_enough(way, stay):
                continue
            drawn = _with(drawn, way, stay)
            after = self._run(drawn)
            if len(after.differing) < len(outcome.differing) and not self._leaves(drawn.works):
                stayed = (*outcome.stayed, *([(number, len(stay))] if stay else []))
                return after._replace(stayed=stayed), drawn
        return outcome, draw

    def _holds(self, draw: Draw, way: Work, stay: frozenset[int]) -> bool:
        """Whether the frame says the same when these octets stay; no more when asked too often."""
        self._most -= 1
        if self._most < 0:
            return False
        after = self._run(_with(draw, way, stay))
        return all(record.number != way.record.number for record, _ in after.differing)


def _with(draw: Draw, way: Work, stay: frozenset[int]) -> Draw:
    work = replace(way, stay=stay)
    return draw._replace(
        works=[work if w.record.number == way.record.number else w for w in draw.works]
    )
