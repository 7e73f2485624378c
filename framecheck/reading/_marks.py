"""The tiling: what each character of the text is."""

from __future__ import annotations

from framecheck.core.text import Mark, MarkKind
from framecheck.reading._track import Track


class Tiling:
    """Collects the rows of dumps; everything between them is skipped."""

    def __init__(self) -> None:
        self._pieces: list[tuple[int, int, MarkKind]] = []

    def add(self, track: Track) -> None:
        """The rows of one dump."""
        for row, (start, size, dropped) in zip(track.rows, track.lines, strict=True):
            at = start
            for column, end in sorted(set(zip(row.columns, row.ends, strict=True))):
                low, high = start + column - 1, start + end - 1
                if low > at:
                    self._pieces.append((at, low, "framing"))
                self._pieces.append((low, high, "digits"))
                at = high
            # Only the log's last line drops digits: those at its very end.
            if start + size - dropped > at:
                self._pieces.append((at, start + size - dropped, "framing"))

    def marks(self, characters: int) -> list[Mark]:
        """Marks that tile the text from its first character to its last."""
        out: list[Mark] = []

        def put(start: int, stop: int, kind: MarkKind) -> None:
            if start >= stop:
                return
            if out and out[-1].kind == kind and out[-1].stop == start:
                out[-1] = Mark(out[-1].start, stop, kind)
            else:
                out.append(Mark(start, stop, kind))

        at = 0
        for start, stop, kind in sorted(self._pieces):
            put(at, start, "skipped")
            put(start, stop, kind)
            at = stop
        put(at, characters, "skipped")
        return out
