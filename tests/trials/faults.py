"""What a console does to a text: one fault each, anywhere in a frame's lines."""

from __future__ import annotations

import random
from collections.abc import Callable

from tests.trials.logs import Cell, Log

SCREEN = 80
NARROW = 40
"""Columns of a screen that is narrow enough to break a short row."""
MESSAGES = (
    "orchard: wind machine idle",
    "frost: leaf 0.4 degrees",
    "I (4711) valve: 3 open",
    "*** low battery ***",
)
END: Cell = ("\n", None)

Fault = Callable[[Log, random.Random], list[Cell]]


def _anywhere(log: Log, random_: random.Random) -> int:
    """A character: mostly of a frame's lines, seldom of the chatter."""
    if random_.random() < 0.05:
        return random_.randrange(len(log.cells))
    return random_.randrange(*random_.choice(log.blocks))


def lines_of(cells: list[Cell]) -> list[list[Cell]]:
    """The lines, each with its end."""
    lines: list[list[Cell]] = [[]]
    for cell in cells:
        lines[-1].append(cell)
        if cell[0] == "\n":
            lines.append([])
    return lines if lines[-1] else lines[:-1]


def none(log: Log, random_: random.Random) -> list[Cell]:
    """Nothing."""
    return log.cells


def lost(log: Log, random_: random.Random) -> list[Cell]:
    """A character is lost."""
    at = _anywhere(log, random_)
    return log.cells[:at] + log.cells[at + 1 :]


def doubled(log: Log, random_: random.Random) -> list[Cell]:
    """A character comes twice."""
    at = _anywhere(log, random_)
    return log.cells[: at + 1] + log.cells[at:]


def changed(log: Log, random_: random.Random) -> list[Cell]:
    """A character is another: one bit of it, or any that can be printed. No line end."""
    cells = list(log.cells)
    at = _anywhere(log, random_)
    while cells[at][0] == "\n":
        at = _anywhere(log, random_)
    old = cells[at][0]
    new = old
    while new in (old, "\n", "\r"):
        flipped = chr(ord(old) ^ 1 << random_.randrange(7))
        new = random_.choice((flipped, chr(random_.randrange(32, 127))))
    cells[at] = (new, cells[at][1])
    return cells


def run(log: Log, random_: random.Random) -> list[Cell]:
    """2 to 16 characters are lost: a receiver's queue was full."""
    at = _anywhere(log, random_)
    return log.cells[:at] + log.cells[at + random_.randrange(2, 17) :]


def _line_at(log: Log, random_: random.Random) -> tuple[int, int]:
    """First and last-plus-one cell of one line."""
    at = _anywhere(log, random_)
    start = at
    while start and log.cells[start - 1][0] != "\n":
        start -= 1
    while log.cells[at][0] != "\n":
        at += 1
    return start, at + 1


def line(log: Log, random_: random.Random) -> list[Cell]:
    """A line is lost."""
    start, stop = _line_at(log, random_)
    return log.cells[:start] + log.cells[stop:]


def line_end(log: Log, random_: random.Random) -> list[Cell]:
    """A line end is lost."""
    _, stop = _line_at(log, random_)
    return log.cells[: stop - 1] + log.cells[stop:]


def message(log: Log, random_: random.Random) -> list[Cell]:
    """Another task's message stands in the middle of a row."""
    frame = random_.randrange(len(log.blocks))
    at = random_.randrange(log.rows[frame], log.blocks[frame][1])
    said = random_.choice(MESSAGES)
    said = random_.choice((said + "\n", "\n" + said + "\n"))
    return log.cells[:at] + [(c, None) for c in said] + log.cells[at:]


def interleaved(log: Log, random_: random.Random) -> list[Cell]:
    """Two dumps are printed at the same time, line by line."""
    first = random_.randrange(len(log.blocks) - 1)
    (start, stop), (start2, stop2) = log.blocks[first : first + 2]
    queues = [lines_of(log.cells[start:stop]), lines_of(log.cells[start2:stop2])]
    mixed: list[Cell] = []
    turn = 0
    while any(queues):
        if queues[turn]:
            mixed += queues[turn].pop(0)
        if random_.random() < 0.8 or not queues[turn]:
            turn = 1 - turn
    return log.cells[:start] + mixed + log.cells[stop:start2] + log.cells[stop2:]


def wrapped(log: Log, random_: random.Random) -> list[Cell]:
    """A screen breaks lines at its width, and what is copied from it has the breaks."""
    lines = lines_of(log.cells)
    rows = [len(x) - 1 for a, b in log.blocks for x in lines_of(log.cells[a:b])]
    width = SCREEN if max(rows) > SCREEN else NARROW
    out: list[Cell] = []
    for text in lines:
        for at in range(0, max(1, len(text) - 1), width):
            out += [*text[:-1][at : at + width], END]
    return out


def cut_end(log: Log, random_: random.Random) -> list[Cell]:
    """The scroll-back ends here: at a line's end, or inside one."""
    at = random_.randrange(*random_.choice(log.blocks))
    if random_.random() < 0.5:
        while log.cells[at - 1][0] != "\n":
            at -= 1
    return log.cells[:at]


def cut_start(log: Log, random_: random.Random) -> list[Cell]:
    """The scroll-back begins here: with a line, or inside one."""
    at = random_.randrange(*random_.choice(log.blocks))
    if random_.random() < 0.5:
        while log.cells[at - 1][0] != "\n":
            at -= 1
    return log.cells[at:]


FAULTS: dict[str, Fault] = {
    "none": none,
    "lost character": lost,
    "doubled character": doubled,
    "changed character": changed,
    "lost run": run,
    "lost line": line,
    "lost line end": line_end,
    "message in a row": message,
    "interleaved": interleaved,
    "wrapped": wrapped,
    "cut at its end": cut_end,
    "cut at its start": cut_start,
}
