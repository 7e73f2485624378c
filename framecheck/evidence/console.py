"""What the console broke must not be blamed on the frame.

A sum that fails over octets whose digits the console lost says nothing of the frame: it becomes
unverifiable, and rules about such octets rest. A sum that holds over them settles the doubt: the
octets are right as they were read.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from framecheck.core.finding import Finding, Verdict
from framecheck.core.frame import OCTETS_ONLY, TWO_FRAMES, Doubt, Frame
from framecheck.core.span import Range, common, without
from framecheck.evidence.classes import covered

_SHORTEST = 60
_FEWEST = 8
"""Octets of a row, at least, in a dump whose rows may be another's."""


def mixed_rows(
    frame: Frame, verdicts: Sequence[Verdict], findings: Sequence[Finding], wanted: int
) -> tuple[Doubt, ...]:
    """The doubt that rows of another dump stand in this one, where nothing counts its rows.

    ``wanted``: octets that the frame's own lengths ask for. Whole rows too many and a sum that
    fails are what is left of two dumps that were printed at the same time; so is a broken rule
    right behind the rows of a frame that lacks some.
    """
    rows = frame.dump.places.rows
    broken = any(f.certainty in ("impossible", "forbidden") for f in findings)
    if broken and any(d.about == TWO_FRAMES for d in frame.doubts):
        other = "rows of the frame in front, which lacks some"
        return (Doubt(TWO_FRAMES, "its own rows", other, True, rows[0].line),)
    if len(rows) < 3 or frame.head or not (frame.dump.layout or "").startswith("no offset"):
        return ()
    width, total = len(rows[0].columns), len(frame.dump.octets)
    more = {total - wanted, total - max(wanted, _SHORTEST)}
    rows_more = width >= _FEWEST and any(n > 0 and n % width == 0 for n in more)
    if not rows_more or all(v.outcome != "mismatch" for v in verdicts):
        return ()
    return (
        Doubt(
            "where the dump ends",
            f"behind {total} octets",
            f"behind {wanted}: some of its rows may be another dump's",
            True,
            rows[0].line,
        ),
    )


def runs_on(frame: Frame, verdicts: Sequence[Verdict], wanted: int) -> tuple[Doubt, ...]:
    """The doubt that another line's digits stand behind a frame that is printed on one line.

    ``wanted``: octets that its own lengths ask for. More are there, or words that stand behind no
    other dump, and its sums fail.
    """
    dump = frame.dump
    rows, total = dump.places.rows, len(dump.octets)
    lone = len(rows) == 1 and not frame.head and bool(wanted) and dump.layout is not None
    more = total > max(wanted, _SHORTEST) and dump.claimed_length != total
    if not lone or not (more or dump.words_behind):
        return ()
    if all(v.outcome != "mismatch" for v in verdicts):
        return ()
    other = "further in front: two lines may have run together"
    return (Doubt("where the row ends", f"behind {total} octets", other, True, rows[0].line),)


class Excused(NamedTuple):
    """Verdicts and findings that are left, and the doubts about them."""

    verdicts: tuple[Verdict, ...]
    findings: tuple[Finding, ...]
    doubts: tuple[Doubt, ...]
    unsure: bool
    """Whether the console's damage keeps the frame from being judged."""


def excuse(
    verdicts: Sequence[Verdict],
    findings: Sequence[Finding],
    doubts: Sequence[Doubt],
    doubtful: Sequence[Range],
    displaced: bool = False,
) -> Excused:
    """Take back what only the console's damage could have caused.

    ``doubtful``: octets of the frame that the console may have broken. Doubts about anything but
    broken digits (lost lines, an unsure end) put the place of every octet behind them in question;
    so do broken digits in front of the frame, which ``displaced`` says.
    """
    deciding = [d for d in doubts if d.decides]
    if not deciding:
        return Excused(tuple(verdicts), tuple(findings), tuple(doubts), False)
    digits_only = not displaced and all(d.about in OCTETS_ONLY for d in deciding)
    if digits_only and not without(doubtful, covered(verdicts, "match")):
        settled = tuple(d._replace(decides=False) for d in doubts)
        return Excused(tuple(verdicts), tuple(findings), settled, False)

    def touched(ranges: Sequence[Range]) -> bool:
        return not digits_only or not ranges or bool(common(ranges, doubtful))

    kept = tuple(
        v._replace(outcome="unverifiable", computed=None, says="", blamed=())
        if v.outcome == "mismatch" and touched([s.octets for s in v.covers])
        else v
        for v in verdicts
    )
    resting = {
        v.name
        for v, k in zip(verdicts, kept, strict=True)
        if v.outcome == "mismatch" and k.outcome == "unverifiable"
    }
    left = tuple(
        f
        for f in findings
        if f.certainty == "unusual"
        or not (f.rule in resting or touched([s.octets for s in f.spans]))
    )
    return Excused(kept, left, tuple(doubts), True)
