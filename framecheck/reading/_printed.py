"""Where a row of a dump stands in the log, also when it was put together from several lines."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from typing import NamedTuple

from framecheck.core.text import Row
from framecheck.reading._lines import Piece


class Printed(NamedTuple):
    """The characters of the log that belong to one row."""

    start: int
    """First character of the row's line, counted from the start of the text."""
    size: int
    """Characters with the line's end."""
    dropped: int
    """Digits at the end of the log that make no octet."""
    pieces: tuple[Piece, ...] = ()
    """Set when the row is not one whole line of the log."""

    def areas(self) -> list[tuple[int, int]]:
        """Half-open ranges of characters."""
        if not self.pieces:
            return [(self.start, self.start + self.size - self.dropped)]
        found = [(p.start, p.start + p.size) for p in self.pieces]
        found[-1] = found[-1][0], found[-1][1] - self.dropped
        return found


def placed(row: Row, line: Printed) -> Iterator[tuple[Row, int]]:
    """The row as lines of the log hold it, each with the first character of its line.

    An octet whose digits stand in two pieces is placed at those in the first.
    """
    if not line.pieces:
        yield row, line.start
        return
    pieces = line.pieces
    starts = [p.at for p in pieces]
    which = [max(0, bisect_left(starts, column) - 1) for column in row.columns]
    first = 0
    while first < len(which):
        stop = first + 1
        while stop < len(which) and which[stop] == which[first]:
            stop += 1
        piece = pieces[which[first]]
        after = pieces[which[first] + 1].at + 1 if which[first] + 1 < len(pieces) else None
        shift = piece.column - piece.at
        columns = tuple([c + shift for c in row.columns[first:stop]])
        ends = row.ends[first:stop]
        if after is not None:
            ends = [min(e, after) for e in ends]
        yield (
            Row(piece.number, row.first + first, columns, tuple([e + shift for e in ends])),
            piece.start - piece.column,
        )
        first = stop
