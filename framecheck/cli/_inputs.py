"""What the commands that read inputs share: the report in pieces, and what could not be read."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from framecheck.core.report import Report, ReportOptions
    from framecheck.core.sheet import FrameRecord, InputRecord, Totals
    from framecheck.run import Run


def write(run: Run, report: Report, options: ReportOptions, output: str | None) -> None:
    """The report on standard output or into a file; a terminal hears how far a long run is."""
    from framecheck.cli._door import write_whole
    from framecheck.cli._progress import watched

    busy = not output and report.streams and sys.stdout.isatty()
    frames = iter(run) if busy else watched(run, options.inputs, run.match)
    parts = _pieces(run, frames, report, options)
    if output:
        write_whole(output, parts)
    else:
        for piece in parts:
            sys.stdout.write(piece)
    sys.stdout.flush()


def _pieces(
    run: Run, examined: Iterator[FrameRecord], report: Report, options: ReportOptions
) -> Iterator[str]:
    """The report, or nothing at all when no input could be opened."""
    begun = False

    def frames() -> Iterator[FrameRecord]:
        nonlocal begun
        for record in examined:
            begun = True
            yield record

    held: list[str] = []
    for piece in report.write(frames(), run.totals, options):
        held.append(piece)
        if begun:
            yield from held
            held.clear()
    if report.always or begun or any(_opened(i) for i in run.totals().inputs):
        yield from held


def _opened(i: InputRecord) -> bool:
    """Whether an input could be opened at all, however little of it could be read."""
    return not i.error or bool(i.characters) or (os.path.isfile(i.name) and os.access(i.name, 4))


def told(totals: Totals, said: bool) -> int:
    """Say on standard error what could not be read or found; the exit code."""
    from framecheck.cli._door import complain

    for i in totals.inputs:
        if i.error:
            complain(i.error)
        elif not i.dumps and not said:
            from framecheck.reports._words import no_frame

            complain(no_frame(i))
    return totals.exit_code


def waiting(command: str) -> tuple[str, ...]:
    """Standard input; a person in front of it is told what it waits for."""
    if sys.stdin is not None and sys.stdin.isatty():
        sys.stderr.write(
            f"framecheck {command} waits for a log: paste it here, then end with Ctrl-D on a line "
            f"of its own\n(or name a file: framecheck {command} bench.log)\n"
        )
    return ("-",)
