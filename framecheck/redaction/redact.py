"""A log's text in, the text to show to others out, with what was replaced and what was not kept.

The outcome is examined like the log. Where a frame says something else than before (a verdict may
hang on the very value that was replaced), other stand-ins are drawn, a few times; what still
differs is changed in fewer octets, or named.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial

from framecheck.core.sheet import FrameRecord
from framecheck.redaction._internet import Where
from framecheck.redaction._less import Less
from framecheck.redaction._outcome import Draw, Redacted, once
from framecheck.redaction._standins import KINDS, Standins
from framecheck.redaction._work import Work, census, prepared, texts_struck
from framecheck.run import Run, Settings, Text

_ROUNDS = 49
"""Choices for frames that differ, with one choice for all others."""
_PATIENCE = 6
"""Choices before lines that are no octets stay, where frames are read otherwise without them."""
_FEWEST, _MOST = 8, 3 * _ROUNDS
_WORK = 16_000_000
"""Characters that are examined again, about, before what differs is let be."""
_PLACES: tuple[Where, ...] = ("documentation", "own", "private")
_READING = {"frame", "length", "lines", "start", "reading"}
"""What differs when the reader, not a rule, took the outcome for something else."""


def redact(
    text: str,
    key: bytes,
    settings: Settings = Settings(),  # noqa: B008 - an immutable tuple
    *,
    keep_chatter: bool = False,
) -> Redacted:
    """The log with stand-ins in place of private values.

    Args:
        text: the log as it was decoded.
        key: decides the stand-ins; the same key and log give the same outcome.
        settings: what is known about the run, as for a check.
        keep_chatter: keep lines that are no octets, but for addresses and names in them.

    Raises:
        Problem: the fill or the sent frames cannot be used; the text is one clear line.
    """
    before = list(Run([Text("log", text)], settings))
    ways = prepared(before, settings.host)
    found = census(ways)
    # Damaged frames have all kinds of octets where addresses stand.
    guard = Standins(key, census([w for w in ways if w[0].record.state == "sound"]))
    run = partial(once, text, settings, found, guard)
    most = _WORK // (len(text) + 1)
    less = Less(run, lambda works: bool(_left(works, guard, names=True)), ways, most).of
    best: tuple[Redacted, Draw] | None = None
    least = (0, 0)
    best_left: list[FrameRecord] = []
    words = False
    turns: Counter[int] = Counter()
    kept: set[int] = set()
    for n in range(max(_FEWEST, min(_MOST, most))):
        number, turn = divmod(n, _ROUNDS)
        if not turn:
            if best and not least[0] and not (changed := less(*best)).differing:
                return changed
            turns.clear()
            # What differs with every choice may hang on what an octet of a text became.
            failed = {r.number for r, _ in best[0].differing} if best else set()
            kept = {
                o for w in ways if w[0].record.number in failed for o in texts_struck(w[0], found)
            }
        works, own = _chosen(ways, turns)
        where = _PLACES[number % len(_PLACES)]
        if n == _PATIENCE and best and any(_READING & set(d) for _, d in best[0].differing):
            # How such rows are told from others hangs on the words of those.
            keep_chatter = True
        draw = Draw(key + bytes((number,)), works, own, where, frozenset(kept), words, keep_chatter)
        outcome = run(draw)
        left = _left(works, guard, names=n > 0)
        outcome = _named(outcome, left)
        words = words or any(_READING & set(names) for _, names in outcome.differing)
        worth = (len(left), len(outcome.differing))
        if best is None or worth < least:
            best, least, best_left = (outcome, draw), worth, left
        if not outcome.differing:
            break
        turns.update({r.number for r, _ in outcome.differing})
    assert best is not None
    if least[0]:
        # No choice would do: such frames are hidden from end to end, and named.
        draw = best[1]._replace(hidden=frozenset(r.number for r in best_left))
        best = run(draw), draw
    return less(*best)


def _left(works: Sequence[Work], guard: Standins, *, names: bool) -> list[FrameRecord]:
    """Frames in which an address of the log stands, wherever in them; or a name, if asked for.

    Names can only be left by later choices, which keep octets of some frames.
    """
    return [w.record for w in works if guard.leaves(w.front + w.octets + w.tail, names=names)]


def _named(outcome: Redacted, left: Sequence[FrameRecord]) -> Redacted:
    named = tuple((record, ["an address"]) for record in left)
    return outcome._replace(differing=(*outcome.differing, *named))


def _chosen(
    ways: Sequence[Sequence[Work]], turns: Mapping[int, int]
) -> tuple[list[Work], dict[int, int]]:
    """The way in which each frame may have been sent, and the number of its own stand-ins.

    ``turns``: how many choices were tried before. First come all ways with the stand-ins of the
    other frames, because what is held against another frame has to be exchanged like that. Then,
    within ``KINDS`` times the ways, each of them meets each kind of choice of its own.
    """
    works, own = [], {}
    for found in ways:
        number = found[0].record.number
        turn = turns.get(number, 0)
        if turn < len(found):
            works.append(found[turn])
            continue
        turn -= len(found) - 1
        rounds = turn // len(found)
        works.append(replace(found[turn % len(found)], hold=(turn + rounds) % 2 == 1))
        step = 1 if (len(found) + 1) % KINDS else 2
        own[number] = KINDS * turn + (turn + step * rounds) % KINDS
    return works, own
