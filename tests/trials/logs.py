"""Logs of a trial: recorded frames, printed in one layout among chatter, each digit labelled.

A log is a list of cells: a character, and which octet of which frame it is a digit of. The labels
stay with their characters whatever a fault does to the text, so that the truth survives it.
"""

from __future__ import annotations

import random
import re
from functools import cache
from typing import NamedTuple

from tests import chatter
from tests.outside.recordings import RARE, SUMMED, TAGGED, frames
from tests.reading.writers import WRITERS, Page, Writer
from tests.reading.writers_headers import HEADERS
from tests.reading.writers_pasted import PASTED
from tests.reading.writers_texts import TEXTS
from tests.strategies_layouts import Layout, printed

Label = tuple[int, int] | None
"""Frame and octet that a character is a digit of."""
Cell = tuple[str, Label]

CLAIM = "lan: received {n} octets"
TITLE = "lan: frame"
SHORT = 200
STAMP = "[   {t:.6f}] "
_STAMP = re.compile(r"\[ *(\d+\.\d+)\] ").match
_LONGEST_STEP = 13_000
"""Microseconds between rows of one dump; what stands around it is further away."""
_WHOLE = 1 << 20
"""Octets a row when a frame is printed on one line."""

LAYOUTS: dict[str, Layout] = {
    "hex4 pairs bars": Layout(offset="{:04x}: ", gutter="  |{}|"),
    "hex4 pairs": Layout(offset="{:04x}  "),
    "hex8 words16 gutter": Layout(offset="{:08x}: ", group=2, gutter="  {}"),
    "hex8 words32": Layout(offset="{:08x}: ", group=4),
    "hex8 words32 little": Layout(offset="{:08x}: ", group=4, little=True),
    "decimal pairs": Layout(offset="{:04d}: "),
    "hex8 eight a row": Layout(offset="{:08x}  ", between="  ", per_row=8),
    "hex4 thirty-two a row": Layout(offset="0x{:04x}: ", per_row=32, middle="  ", gutter="  {}"),
    "bare pairs": Layout(offset=""),
    "bare pairs bar": Layout(offset="", gutter=" |{}", middle="  "),
    "bare words16": Layout(offset="", group=2),
    "bare words32": Layout(offset="", group=4),
    "bare packed": Layout(offset="", between=""),
    "stamped pairs bars": Layout(prefix=STAMP, offset="{:04x}: ", gutter="  |{}|"),
    "stamped words32": Layout(prefix=STAMP, offset="{:04x}: ", group=4),
    "stamped bare pairs": Layout(prefix=STAMP, offset=""),
    "stamped thirty-two a row": Layout(prefix=STAMP, offset="{:04x}: ", per_row=32),
    "constants": Layout(offset="", mark="0x", between=", ", trailer=","),
    "one string": Layout(offset="", between="", per_row=_WHOLE),
    "one line of pairs": Layout(offset="", per_row=_WHOLE),
}

WRITTEN: dict[str, Writer] = {**WRITERS, **TEXTS, **PASTED, **HEADERS}
"""Layouts that no table of traits describes."""


class Plan(NamedTuple):
    """All that decides a log's text, before any fault."""

    layout: str
    claimed: bool
    """Whether a line in front of each dump states its length."""
    octets: tuple[bytes, ...]
    between: tuple[tuple[str, ...], ...]
    """Lines in front of each frame, and behind the last."""


class Log(NamedTuple):
    """The cells of a log, and where each frame's own lines stand in it."""

    cells: list[Cell]
    blocks: list[tuple[int, int]]
    """First and last-plus-one cell of each frame: the line in front and the rows."""
    rows: list[int]
    """First cell of each frame's first row."""


@cache
def recorded() -> tuple[tuple[bytes, ...], tuple[bytes, ...]]:
    """Recorded frames: the short ones, and all."""
    every = tuple(octets for name in (SUMMED, RARE, TAGGED) for octets in frames(name))
    return tuple(o for o in every if len(o) <= SHORT), every


def plan(layout: str, random_: random.Random, least: int = 1) -> Plan:
    """A log to be printed in this layout, of ``least`` to 4 frames."""
    short, every = recorded()
    octets = tuple(
        random_.choice(every if random_.random() < 0.04 else short)
        for _ in range(random_.choice((least, 2, 2, 3, 4)))
    )
    between = tuple(_chatter(random_, len(octets) == turn) for turn in range(len(octets) + 1))
    return Plan(layout, random_.random() < 0.5, octets, between)


def _chatter(random_: random.Random, last: bool) -> tuple[str, ...]:
    """A few lines; at least one, so that bare dumps are apart."""
    lines = []
    for _ in range(random_.choice((1, 1, 2, 3))):
        line = random_.choice(chatter.MAKERS)(random_)
        lines.append(random_.choice(chatter.PREFIXES).format(random_.uniform(1, 99)) + line)
    return (*lines, "lan: waiting" if last else "")


def render(given: Plan, octets: tuple[bytes, ...] | None = None) -> Log:
    """Print a log, with the plan's frames or others in their places."""
    layout = LAYOUTS.get(given.layout)
    cells: list[Cell] = []
    blocks, rows = [], []
    for turn, frame in enumerate(octets or given.octets):
        _say(cells, given.between[turn])
        start = len(cells)
        _say(cells, ((CLAIM if given.claimed else TITLE).format(n=len(frame)),))
        if layout and layout.mark:
            _say(cells, ("static const unsigned char frame[] = {",))
        rows.append(len(cells))
        if layout:
            text, truth = printed(frame, layout, clock=12.0 + turn)
            places = list(enumerate(truth.places))
        else:
            page = Page(1)
            WRITTEN[given.layout](frame, page)
            text, places = page.text, list(page.places.items())
        starts = [0, *(m.end() for m in re.finditer("\n", text))]
        labels: list[Label] = [None] * len(text)
        for octet, (line, column, end) in places:
            at = starts[line - 1] - 1
            labels[at + column : at + end] = [(turn, octet)] * (end - column)
        cells += zip(text, labels, strict=True)
        if layout and layout.mark:
            _say(cells, ("};",))
        blocks.append((start, len(cells)))
    _say(cells, given.between[-1])
    return Log(cells, blocks, rows)


def _say(cells: list[Cell], lines: tuple[str, ...]) -> None:
    for line in lines:
        cells += [(c, None) for c in line + "\n"]


def text_of(cells: list[Cell]) -> str:
    """The characters alone."""
    return "".join([c for c, _ in cells])


def with_steps(text: str) -> str:
    """The text with the time since the row before instead of each row's stamp.

    When a dump began nobody knows, but its rows come at equal steps: a line that is lost between
    them shows.
    """
    out = []
    before = None
    for line in text.split("\n"):
        stamp = _STAMP(line)
        now = round(float(stamp[1]) * 1e6) if stamp else None
        step = now - before if now is not None and before is not None else 0
        shown = step if 0 < step <= _LONGEST_STEP else ""
        out.append(f"[{shown}] {line[stamp.end() :]}" if stamp else line)
        before = now
    return "\n".join(out)
