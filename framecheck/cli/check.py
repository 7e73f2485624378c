"""``framecheck check``: what did the board receive, is it right, and if not, which octets?"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING

import click

from framecheck.core.shelf import modules

if TYPE_CHECKING:
    from framecheck.core.report import Report, ReportOptions
    from framecheck.core.sheet import FrameRecord, InputRecord, Totals
    from framecheck.run import Run

REPORTS = "framecheck.reports"


@click.command(
    "check",
    short_help="What did the board receive, and which octets of it are wrong?",
    epilog="Leaves with 0: all sound. 1: something is damaged. 2: wrong usage, an input that "
    "could not be read, no frame found, or no way to tell.",
)
@click.argument("inputs", nargs=-1, metavar="[INPUT]...")
@click.option("--sent", metavar="CAPTURE", help="What was sent: a capture or a hex log.")
@click.option(
    "--fill",
    metavar="PATTERN",
    help="What the driver wrote into the buffer beforehand: letters, counting, constant:a5, zero, "
    "odd-parity, hex digits or a file.",
)
@click.option("--host", metavar="mac=..,ip=..,port=..", help="Who the board is, any of the three.")
@click.option(
    "--report", type=click.Choice(modules(REPORTS)), default="terminal", help="How to say it."
)
@click.option("--output", metavar="FILE", help="Write there, whole or not at all.")
@click.option("--all", "show_all", is_flag=True, help="Every frame in full, sound ones too.")
@click.option("--only", type=click.Choice(["damaged"]), help="Leave other frames out.")
@click.option("--strict", is_flag=True, help="Suspicious frames count as damaged.")
def command(
    inputs: tuple[str, ...],
    sent: str | None,
    fill: str | None,
    host: str | None,
    report: str,
    output: str | None,
    show_all: bool,
    only: str | None,
    strict: bool,
) -> int:
    """What did the board receive, is it right, and if not, which octets are wrong?

    INPUT is a console log, - for standard input, or a capture (pcap, pcapng). Offsets are hex,
    counts decimal; lines and columns are those of the log.
    """
    from framecheck.cli._door import columns, in_colour, write_whole
    from framecheck.cli._host import host as described
    from framecheck.core.report import Report, ReportOptions
    from framecheck.core.shelf import load
    from framecheck.run import Settings, check_inputs

    # An input that is named twice is read once: a second look tells nothing new.
    names = tuple(dict.fromkeys(inputs)) or _waiting()
    run = check_inputs(names, Settings(sent, fill, described(host), strict))
    (chosen,) = load(REPORTS, report, Report)
    options = ReportOptions(
        inputs=names,
        show_all=show_all,
        only_damaged=only is not None,
        colour=output is None and in_colour(sys.stdout),
        width=80 if output else columns(sys.stdout),
        fill=fill,
        sent=sent,
    )
    pieces = _pieces(run, chosen, options)
    if output:
        write_whole(output, pieces)
    else:
        for piece in pieces:
            sys.stdout.write(piece)
    sys.stdout.flush()
    return _told(run.totals(), chosen.tells and not output)


def _pieces(run: Run, report: Report, options: ReportOptions) -> Iterator[str]:
    """The report, or nothing at all when no input could be opened."""
    begun = False

    def frames() -> Iterator[FrameRecord]:
        nonlocal begun
        for record in run:
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


def _told(totals: Totals, said: bool) -> int:
    """Say on standard error what could not be read or found; the exit code."""
    from framecheck.cli._door import complain

    for i in totals.inputs:
        if i.error:
            complain(i.error)
        elif not i.dumps and not said:
            from framecheck.reports._words import no_frame

            complain(no_frame(i))
    return totals.exit_code


def _waiting() -> tuple[str, ...]:
    """Standard input; a person in front of it is told what it waits for."""
    if sys.stdin is not None and sys.stdin.isatty():
        sys.stderr.write(
            "framecheck check waits for a log: paste it here, then end with Ctrl-D on a line of "
            "its own\n(or name a file: framecheck check bench.log)\n"
        )
    return ("-",)
