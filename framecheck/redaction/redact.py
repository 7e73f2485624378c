"""A log's text in, the text to show to others out, with what was replaced and what was not kept.

The outcome is examined like the log. Where a frame says something else than before (a verdict may
hang on the very value that was replaced), other stand-ins are drawn, a few times; what still
differs is named.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from framecheck.core.sheet import FrameRecord
from framecheck.damage import fill
from framecheck.redaction._census import Census
from framecheck.redaction._chatter import Masker, exchanged
from framecheck.redaction._frames import Work, census, exchange, prepared, texts_struck
from framecheck.redaction._internet import Where
from framecheck.redaction._page import Page
from framecheck.redaction._same import differing
from framecheck.redaction._standins import Choice, Standins
from framecheck.run import Run, Settings, Text

_ROUNDS = 37
"""Choices for frames that differ, with one choice for all others."""
_FEWEST, _MOST = 8, 3 * _ROUNDS
_WORK = 16_000_000
"""Characters that are examined again, about, before what differs is let be."""
_PLACES: tuple[Where, ...] = ("documentation", "own", "private")
_READING = {"frame", "length", "lines", "start", "reading"}
"""What differs when the reader, not a rule, took the outcome for something else."""


class Redacted(NamedTuple):
    """The outcome."""

    text: str
    counts: dict[str, int]
    """How many different values of each kind were replaced."""
    masked: int
    """Lines that are no octets and were masked."""
    frames: int
    differing: tuple[tuple[FrameRecord, list[str]], ...]
    """Frames of the log that do not say the same any more, and what of them."""
    unsure: tuple[int, ...]
    """Numbers of frames whose octets the console may have broken: what they hold is not sure."""
    unread: tuple[int, ...]
    """Numbers of frames in which no header was found: hidden from end to end."""
    unwritable: tuple[tuple[int, int], ...]
    """Line and column of octets whose new digits could not be written: zeros stand there."""
    beyond: tuple[int, int]
    """Hardware addresses and networks for which the documentation ranges had no room."""
    words: bool
    """Whether the words in the lines of frames stayed, because the layout hangs on them."""


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
    found = census(works[0] for works in ways)
    # Damaged frames have all kinds of octets where addresses stand.
    guard = Standins(key, census(w[0] for w in ways if w[0].record.state == "sound"))
    best: Redacted | None = None
    least = (True, 0)
    words = False
    turns: Counter[int] = Counter()
    kept: set[int] = set()
    for n in range(max(_FEWEST, min(_MOST, _WORK // (len(text) + 1)))):
        number, turn = divmod(n, _ROUNDS)
        if not turn:
            turns.clear()
            # What differs with every choice may hang on what an octet of a text became.
            failed = {r.number for r, _ in best.differing} if best else set()
            kept = {o for w in ways if w[0].record.number in failed for o in texts_struck(w[0])}
        works, own = _chosen(ways, turns)
        where = _PLACES[number % len(_PLACES)]
        choice = Choice(key + bytes((number,)), found, own, guard, where, kept)
        given = (text, settings, works, choice, found)
        outcome = _once(*given, keep_chatter=keep_chatter, words=words)
        left = _left(works, guard, names=n > 0)
        outcome = _named(outcome, left)
        words = words or any(_READING & set(names) for _, names in outcome.differing)
        worth = (bool(left), len(outcome.differing))
        if best is None or worth < least:
            best, least = outcome, worth
        if not best.differing:
            break
        turns.update({r.number for r, _ in outcome.differing})
    assert best is not None
    if least[0]:
        # No choice would do: such frames are hidden from end to end, and named.
        hide = {r.number for r in left}
        best = _once(*given, keep_chatter=keep_chatter, words=words, hide=hide)
    return best


def _left(works: Sequence[Work], guard: Standins, *, names: bool) -> list[FrameRecord]:
    """Frames in which an address of the log stands, wherever in them; or a name, if asked for.

    Names can only be left by later choices, which keep octets of some frames.
    """
    return [w.record for w in works if guard.leaves(w.octets + w.tail, names=names)]


def _named(outcome: Redacted, left: Sequence[FrameRecord]) -> Redacted:
    named = tuple((record, ["an address"]) for record in left)
    return outcome._replace(differing=(*outcome.differing, *named))


def _chosen(
    ways: Sequence[Sequence[Work]], turns: Mapping[int, int]
) -> tuple[list[Work], dict[int, int]]:
    """The way in which each frame may have been sent, and the number of its own stand-ins.

    ``turns``: how many choices were tried before. Within four times the ways, each of them meets
    each kind of choice.
    """
    works, own = [], {}
    for found in ways:
        number = found[0].record.number
        turn = turns.get(number, 0)
        works.append(replace(found[turn % len(found)], hold=turn % 2 == 1))
        kind = (turn + (2 if len(found) % 2 else 1) * (turn // len(found))) % 4
        if turn:
            own[number] = 4 * turn + kind
    return works, own


def _once(
    text: str,
    settings: Settings,
    works: Sequence[Work],
    choice: Choice,
    found: Census,
    *,
    keep_chatter: bool,
    words: bool,
    hide: Collection[int] = (),
) -> Redacted:
    """One choice of stand-ins; ``words``: whether the words beside octets stay.

    ``hide``: numbers of frames of which every octet is exchanged.
    """
    standins = choice.common
    exchange(works, choice, fill(settings.fill) if settings.fill is not None else None)
    for work in works:
        if work.record.number in hide:
            work.octets = standins.substitution.of(work.record.octets)
    page = Page(text)
    for work in works:
        dump = work.record.frame.dump
        head = dump.octets[: work.record.frame.head]
        new = head + work.octets + work.tail
        if dump.places.rows and len(new) == len(dump.octets):
            page.print(dump, new)
            page.sums(dump, new)
    masker = Masker(
        [page.body(n) for n in range(1, len(page.lines) + 1)],
        _lengths(works),
        standins.address,
        standins.text,
    )
    names = found.names if words else None
    lines, hidden = [], 0
    same: dict[str, str] = {}
    for number in range(1, len(page.lines) + 1):
        body = page.body(number)
        end = page.lines[number - 1][len(body) :]
        if keep_chatter:
            shown = _readable(page, number, standins)
        else:
            near = not page.is_dump(number) and bool({number + 1, number + 2} & page.starts)
            shown = page.changed(number, masker.masked(body, page.kept(number, names), near))
        if page.is_dump(number):
            same[body] = shown
        else:
            # A line that the console printed twice comes out twice.
            shown = same.get(body, shown)
            hidden += shown != body
        lines.append(shown + end)
    outcome = "".join(lines)
    after = list(Run([Text("log", outcome)], settings))
    return Redacted(
        outcome,
        _counts(found, standins, works),
        hidden,
        len(works),
        tuple(differing([w.record for w in works], after)),
        tuple(w.record.number for w in works if w.record.doubtful),
        tuple(w.record.number for w in works if w.record.frame.starts_at in ("inside", "unknown")),
        tuple(page.unwritable),
        standins.beyond,
        words,
    )


def _lengths(works: Sequence[Work]) -> set[int]:
    """Numbers that may stand near a dump as its length."""
    found: set[int] = set()
    for work in works:
        size = len(work.record.frame.dump.octets)
        found.update((size, size + 4, size - 4, len(work.record.octets)))
        found.add(work.record.frame.dump.claimed_length or size)
    return found


def _readable(page: Page, number: int, standins: Standins) -> str:
    def words(shown: str) -> str:
        return standins.known_names(shown)

    body = page.body(number)
    return "".join(
        exchanged(body[start:stop], standins.address, standins.text, words)
        if text is None
        else text
        for start, stop, text in page.pieces(number)
    )


def _counts(found: Census, standins: Standins, works: Sequence[Work]) -> dict[str, int]:
    kinds = {
        "hardware addresses": ("mac", found.mac),
        "IPv4 addresses": ("ipv4", found.ipv4),
        "IPv6 addresses": ("ipv6", found.ipv6),
    }
    counts = {
        name: sum(standins.address(role, value) != value for value in values)
        for name, (role, values) in kinds.items()
    }
    for name, roles in (("names", ("name",)), ("texts and payloads", ("text",))):
        counts[name] = len(
            {
                w.truth.octets[p.start : p.stop]
                for w in works
                for p in w.found
                if p.role in roles and any(w.truth.octets[p.start : p.stop])
            }
        )
    return counts
