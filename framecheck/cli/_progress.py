"""How far a long check has come: a line on a terminal, none in a pipe, gone when it is done."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from framecheck.core.quote import quote

if TYPE_CHECKING:
    from framecheck.core.sheet import FrameRecord

PATIENCE = 2.0
"""Seconds before anything is shown."""
EACH = 0.2
"""Seconds between two looks at the clock's hand."""


def watched(
    frames: Iterable[FrameRecord], names: Sequence[str], match: str | None
) -> Iterator[FrameRecord]:
    """The same frames; after a while the terminal behind standard error says how many came."""
    if sys.stderr is None or not sys.stderr.isatty():
        yield from frames
        return
    began = shown = time.monotonic()
    line: _Line | None = None
    try:
        for count, record in enumerate(frames, 1):
            now = time.monotonic()
            if now - began > PATIENCE and now - shown > EACH:
                shown = now
                line = line or _Line(names, match)
                line.show(count, record.input)
            yield record
    finally:
        if line is not None:
            line.end()


class _Line:
    """One line of rich: inputs begun of all, frames, the time that it took."""

    def __init__(self, names: Sequence[str], match: str | None) -> None:
        from rich.console import Console
        from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

        from framecheck.sources.named import names as files

        total = sum(1 for name in names for _ in files(name, match))
        self._seen: dict[str, None] = {}
        self._progress = Progress(
            TextColumn("{task.fields[says]}", markup=False),
            BarColumn(),
            TimeElapsedColumn(),
            console=Console(stderr=True),
            transient=True,
        )
        self._task = self._progress.add_task("", total=total if total > 1 else None, says="")
        self._progress.start()

    def show(self, count: int, name: str) -> None:
        """Frames so far, and the input that they come from."""
        self._seen[name] = None
        says = f"{count:,} frames, {quote(name, 40)}"
        self._progress.update(self._task, completed=len(self._seen) - 1, says=says)

    def end(self) -> None:
        """Leave the terminal as it was."""
        self._progress.stop()
