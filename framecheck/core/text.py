"""Source text: marks that tile it, and places that lead from octets back to characters.

Characters are code points after decoding. Lines end at LF, CRLF or a lone CR; a tab is one
column; lines and columns are counted from 1, ``end_column`` is exclusive.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from typing import Literal, NamedTuple

from framecheck.core.span import Range

MarkKind = Literal["digits", "framing", "skipped"]


class Mark(NamedTuple):
    """What one stretch of characters is: octet digits, framing of a dump, or skipped."""

    start: int
    """First character, counted from the start of the text (a BOM is not counted)."""
    stop: int
    kind: MarkKind


class Place(NamedTuple):
    """A stretch of one line of the log."""

    line: int
    column: int
    end_column: int


class Row(NamedTuple):
    """The octets that one line of the log prints, in the order of the frame.

    ``columns[i]`` and ``ends[i]`` are the first and the last-plus-one column of the digits of
    the row's octet i. A repeat-marker line is a row whose octets all stand at the marker.
    """

    line: int
    first: int
    """Index in the dump of the row's first octet."""
    columns: Sequence[int]
    ends: Sequence[int]


class Places:
    """From an octet of a dump to its line and columns."""

    __slots__ = ("_firsts", "rows", "shift")

    def __init__(self, rows: Sequence[Row], shift: int = 0) -> None:
        self.rows = tuple(rows)
        self.shift = shift
        """Octets of the dump that stand before octet 0 of the frame (an envelope's head)."""
        self._firsts: list[int] = []  # of every row, made when a place is first asked for

    def moved(self, shift: int) -> Places:
        """The same places, seen from a frame that starts ``shift`` octets into the dump."""
        return Places(self.rows, shift)

    def _row_of(self, index: int) -> int:
        """The row in which an octet of the dump stands; -1 in front of the first."""
        if not self._firsts:
            self._firsts = [r.first for r in self.rows]
        return bisect_right(self._firsts, index) - 1

    def at(self, octet: int) -> Place | None:
        """Where an octet of the frame is printed; None outside, and for captures."""
        index = octet + self.shift
        i = self._row_of(index)
        if i < 0:
            return None
        row = self.rows[i]
        k = index - row.first
        return Place(row.line, row.columns[k], row.ends[k]) if k < len(row.columns) else None

    def of(self, ranges: Iterable[Range]) -> tuple[Place, ...]:
        """The stretches of the log that print these octets of the frame.

        Each begins and ends on a digit and holds only digits of these octets and the separators
        between them; octets of one word printed in another order join where they touch.
        """
        found: list[Place] = []
        for start, stop in ranges:
            low, high = start + self.shift, stop + self.shift
            i = max(0, self._row_of(low))
            while i < len(self.rows) and self.rows[i].first < high:
                found.extend(_stretches(self.rows[i], low, high))
                i += 1
        return tuple(found)

    def lines(self) -> Range | None:
        """First and last line of the dump (inclusive), or None for captures."""
        return (self.rows[0].line, self.rows[-1].line) if self.rows else None


def _stretches(row: Row, low: int, high: int) -> list[Place]:
    if row.columns and low <= row.first and row.first + len(row.columns) <= high:
        return [Place(row.line, min(row.columns), max(row.ends))]  # the usual case: a whole row
    order = sorted(range(len(row.columns)), key=row.columns.__getitem__)
    found: list[Place] = []
    open_: Place | None = None
    for k in order:
        if low <= row.first + k < high:
            column, end = row.columns[k], row.ends[k]
            open_ = Place(
                row.line,
                open_.column if open_ else column,
                max(end, open_.end_column if open_ else 0),
            )
        elif open_:
            found.append(open_)
            open_ = None
    if open_:
        found.append(open_)
    return found
