"""One choice of stand-ins, and the log that comes out with it, examined again."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from framecheck.core.sheet import FrameRecord
from framecheck.damage import fill
from framecheck.redaction._census import Census
from framecheck.redaction._chatter import Masker
from framecheck.redaction._frames import exchange, hide
from framecheck.redaction._internet import Where
from framecheck.redaction._page import Page
from framecheck.redaction._same import differing
from framecheck.redaction._standins import Choice, Standins
from framecheck.redaction._work import Work
from framecheck.run import Run, Settings, Text


class Draw(NamedTuple):
    """A choice of stand-ins, and of the way in which each frame may have been sent."""

    key: bytes
    works: list[Work]
    own: dict[int, int]
    where: Where
    kept: frozenset[int]
    words: bool
    """Whether the words beside octets stay."""
    chatter: bool
    """Whether lines that are no octets stay, but for addresses and names in them."""
    hidden: frozenset[int] = frozenset()
    """Numbers of frames of which every octet is exchanged."""


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
    chatter: bool
    """Whether other lines stayed, but for addresses and names in them."""
    stayed: tuple[tuple[int, int], ...] = ()
    """Numbers of frames of which octets stayed that a verdict hangs on, with how many."""


def once(
    text: str,
    settings: Settings,
    found: Census,
    guard: Standins,
    draw: Draw,
) -> Redacted:
    """One choice of stand-ins."""
    works, words = draw.works, draw.words
    choice = Choice(draw.key, found, draw.own, guard, draw.where, draw.kept)
    standins = choice.common
    exchange(works, choice, fill(settings.fill) if settings.fill is not None else None)
    for work in works:
        if work.record.number in draw.hidden:
            hide(work, standins, guard)
    page = Page(text)
    for work in works:
        dump = work.record.frame.dump
        new = work.front + work.octets + work.tail
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
        if draw.chatter:
            shown = _readable(page, number, masker, standins)
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
        draw.chatter,
    )


def _lengths(works: Sequence[Work]) -> set[int]:
    """Numbers that may stand near a dump as its length."""
    found: set[int] = set()
    for work in works:
        size = len(work.record.frame.dump.octets)
        found.update((size, size + 4, size - 4, len(work.record.octets)))
        found.add(work.record.frame.dump.claimed_length or size)
    return found


def _readable(page: Page, number: int, masker: Masker, standins: Standins) -> str:
    body = page.body(number)
    return "".join(
        masker.readable(body, start, stop, standins.known_names) if text is None else text
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
