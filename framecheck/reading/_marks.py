"""The tiling: what each character of the text is."""

from __future__ import annotations

from framecheck.core.text import Mark, MarkKind, Row
from framecheck.reading._track import Track


class Tiling:
    """Collects the rows of dumps; everything between them is skipped."""

    def __init__(self) -> None:
        self._pieces: list[tuple[int, int, MarkKind]] = []

    def add(self, track: Track) -> None:
        """The rows of one dump."""
        areas = [area for line in track.lines for area in line.areas()]
        spans = sorted({s for r, base in track.printed() for s in _spans(r, base)})
        i = 0
        for start, stop in sorted(areas):
            at = start
            while i < len(spans) and spans[i][0] < stop:
                low, high = spans[i]
                if low > at:
                    self._pieces.append((at, low, "framing"))
                self._pieces.append((low, high, "digits"))
                at = high
                i += 1
            if stop > at:
                self._pieces.append((at, stop, "framing"))

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


def _spans(row: Row, base: int) -> set[tuple[int, int]]:
    """The characters of a row's digits; ``base`` is the first character of its line."""
    pairs = set(zip(row.columns, row.ends, strict=True))
    return {(base + column - 1, base + end - 1) for column, end in pairs}
