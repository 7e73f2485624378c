"""The octets of a frame as they stand in the log, row by row, and the marks under them.

Rows keep the log's line numbers, its grouping and its order of digits; a line that prints more
octets than fit is shown in pieces, each with its column.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import NamedTuple

from framecheck.core.sheet import FrameRecord
from framecheck.core.span import each
from framecheck.core.text import Row

WRITTEN_TOGETHER = 4
"""Octets that may stand without a blank between them, as words do."""
MANY = 8
"""Marked rows in a row beyond which the middle is told, not shown."""


class Cell(NamedTuple):
    """One octet as it is printed."""

    x: int
    """Column of its first digit, from the first octet's."""
    octet: int
    """Offset in the frame; negative or beyond its end for an envelope's."""


class Line(NamedTuple):
    """One row to show."""

    label: str
    first: int
    cells: tuple[Cell, ...]
    text: str
    size: int
    """How many octets of the dump it stands for."""


MEANINGS = {
    "~": "never written",
    "^": "wrong",
    "+": "foreign, not part of what was sent",
    "?": "the console may have broken these",
    "!": "named by a broken rule",
    "|": "octets are missing in front of this mark",
    "-": "not of the frame, left around it by the driver",
}


def marks(record: FrameRecord) -> dict[int, str]:
    """Offset -> mark, the most telling one where several would fit."""
    found: dict[int, str] = {}
    at = -record.frame.head
    for e in record.frame.envelopes:
        if e.side == "head":
            found.update(dict.fromkeys(range(at, at + len(e.octets)), "-"))
            at += len(e.octets)
    behind = len(record.octets)
    for e in record.frame.envelopes:
        if e.side == "tail":
            found.update(dict.fromkeys(range(behind, behind + len(e.octets)), "-"))
            behind += len(e.octets)
    found.update(dict.fromkeys(_named(record), "!"))
    found.update(dict.fromkeys(each(record.doubtful), "?"))
    found.update(dict.fromkeys(each(record.extra), "+"))
    found.update(dict.fromkeys(each(record.wrong), "^"))
    found.update(dict.fromkeys(each(record.residue), "~"))
    return found


def _named(record: FrameRecord) -> Iterator[int]:
    """Octets that grave findings name; of a sum or length, what its arithmetic points at."""
    verdicts = {v.name: v for v in record.verdicts if v.outcome == "mismatch"}
    grave = [f for f in record.findings if f.certainty in ("impossible", "forbidden")]
    if not grave and record.state == "damaged":  # as under --strict
        grave = [f for f in record.findings if f.certainty == "suspicious"]
    for f in grave:
        verdict = verdicts.get(f.rule)
        if verdict is None:
            spans = f.spans
        elif verdict.blamed:
            spans = verdict.blamed
        else:
            spans = () if verdict.field is None else (verdict.field,)
        yield from each(s.octets for s in spans)


def lines(record: FrameRecord, most: int | None) -> Iterator[Line]:
    """All rows of the dump, at most ``most`` octets a row; with None as the log has them.

    Octets that stand in no log come 16 a row then.
    """
    octets = b"".join(
        (
            *(e.octets for e in record.frame.envelopes if e.side == "head"),
            record.octets,
            *(e.octets for e in record.frame.envelopes if e.side == "tail"),
        )
    )
    head = record.frame.head
    rows = record.frame.dump.places.rows
    if not rows:
        yield from unplaced(octets, most or 16, head)
    for row in rows:
        yield from _of_row(row, octets, head, most or max(1, len(row.columns)))


def unplaced(octets: bytes, most: int = 16, head: int = 0) -> Iterator[Line]:
    """Rows of octets that stand in no log: a capture's, an example's."""
    for first in range(0, len(octets), most):
        indices = range(first, min(first + most, len(octets)))
        yield _line("", [(i, " ") for i in indices], octets, head)


def _of_row(row: Row, octets: bytes, head: int, most: int) -> Iterator[Line]:
    size = len(row.columns)
    if size > 1 and len(set(row.columns)) == 1:
        text = _repeated(octets[: row.first + size], size)
        yield Line(str(row.line), row.first - head, (), text, size)
        return
    order = sorted(range(size), key=row.columns.__getitem__)
    printed: list[tuple[int, str]] = []
    for k in order:
        touching = bool(printed) and row.columns[k] <= row.ends[printed[-1][0]]
        printed.append((k, "" if touching else " "))
    if _longest(printed) > WRITTEN_TOGETHER:
        printed = [(k, " ") for k, _ in printed]
    for start in range(0, size, most):
        piece = printed[start : start + most]
        column = f":{row.columns[piece[0][0]]}" if size > most else ""
        yield _line(f"{row.line}{column}", [(row.first + k, gap) for k, gap in piece], octets, head)


def _repeated(octets: bytes, size: int) -> str:
    """What one mark of the log stands for: rows like the one above it, or what is known anyhow."""
    start = len(octets) - size
    rows = (n for n in (4, 8, 16, 32, 64) if n <= start)
    again = any(octets[start:] == octets[start - n : -n] for n in rows)
    if again:
        return f"* the row above again, {size} octets"
    return f"* {size} octets, not printed: those of the fill or the probe"


def _longest(printed: Sequence[tuple[int, str]]) -> int:
    longest = run = 0
    for _, gap in printed:
        run = 1 if gap else run + 1
        longest = max(longest, run)
    return longest


def _line(label: str, printed: Sequence[tuple[int, str]], octets: bytes, head: int) -> Line:
    text, cells = "", []
    for index, gap in printed:
        text += gap if text else ""
        cells.append(Cell(len(text), index - head))
        text += f"{octets[index]:02x}" if index < len(octets) else "  "
    return Line(label, min(c.octet for c in cells), tuple(cells), text, len(cells))


def under(line: Line, marked: Mapping[int, str], missing: Collection[int], length: int) -> str:
    """The marks under one row, joined where neighbours share one; empty when there are none.

    ``missing``: offsets in front of which octets are missing; ``length``: octets of the frame.
    """
    if not line.cells:
        return "" if marked.get(line.first) in (None, "-") else marked[line.first]
    drawn = [" "] * (len(line.text) + 2)
    for cell, after in zip(line.cells, (*line.cells[1:], None), strict=True):
        mark = marked.get(cell.octet)
        if mark:
            joined = after is not None and marked.get(after.octet) == mark
            stop = after.x if joined and after else cell.x + 2
            drawn[cell.x : stop] = mark * (stop - cell.x)
    for cell in line.cells:
        if cell.octet in missing:
            drawn[max(0, cell.x - 1)] = "|"
        if cell.octet + 1 == length and length in missing:
            drawn[cell.x + 2] = "|"
    return "".join(drawn).rstrip()


def beneath(line: Line, record: FrameRecord) -> str:
    """What was sent where a row's octets are wrong; empty when it is not known place by place."""
    reference = record.reference
    if reference is None or record.missing or record.extra or record.moves:
        return ""
    wrong = set(each(record.wrong))
    drawn = [" "] * len(line.text)
    for cell in line.cells:
        if cell.octet in wrong and cell.octet < len(reference):
            drawn[cell.x : cell.x + 2] = f"{reference[cell.octet]:02x}"
    return "".join(drawn).rstrip()


def chosen(shown: Sequence[bool], everything: bool) -> list[bool]:
    """Which rows to show: those with marks and one of context; of many in a row, the edges."""
    size = len(shown)
    if everything:
        return [True] * size
    keep = list(shown)
    start = 0
    while start < size:
        stop = start
        while stop < size and shown[stop]:
            stop += 1
        if stop - start > MANY:
            keep[start + 3 : stop - 3] = [False] * (stop - start - 6)
        start = max(stop, start + 1)
    for i, there in enumerate(shown):
        if there and (i == 0 or not shown[i - 1]):
            context = i - 1 if i else next((j for j in range(size) if not shown[j]), i)
            if context == i - 1 or (i == 0 and context == 1):
                keep[context] = True
    if not any(keep) and size:
        keep[0] = keep[-1] = True
    return keep
