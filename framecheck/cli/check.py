"""``framecheck check``: what did the board receive, is it right, and if not, which octets?"""

from __future__ import annotations

import sys

import click

from framecheck.core.shelf import modules

REPORTS = "framecheck.reports"


@click.command(
    "check",
    short_help="What did the board receive, and which octets of it are wrong?",
    epilog="Leaves with 0: all sound. 1: something is damaged. 2: wrong usage, an input that "
    "could not be read, no frame found, or no way to tell.",
)
@click.argument("inputs", nargs=-1, metavar="[INPUT]...")
@click.option("--match", metavar="PATTERN", help="Of folders and archives, only files that fit.")
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
@click.option("--require", metavar="FILE", help="What the log must hold: framecheck require.")
@click.option("--strict", is_flag=True, help="Suspicious frames count as damaged.")
def command(
    inputs: tuple[str, ...],
    match: str | None,
    sent: str | None,
    fill: str | None,
    host: str | None,
    report: str,
    output: str | None,
    show_all: bool,
    only: str | None,
    require: str | None,
    strict: bool,
) -> int:
    """What did the board receive, is it right, and if not, which octets are wrong?

    INPUT is a console log, - for standard input, or a capture (pcap, pcapng); compressed, in an
    archive, in a folder, a pattern, or a URL. Offsets are hex, counts decimal; lines and columns
    are those of the log.
    """
    from framecheck.cli._door import columns, in_colour
    from framecheck.cli._inputs import told, waiting, write
    from framecheck.core.host import host as described
    from framecheck.core.report import Report, ReportOptions
    from framecheck.core.shelf import load
    from framecheck.run import Settings, check_inputs

    # An input that is named twice is read once: a second look tells nothing new.
    names = tuple(dict.fromkeys(inputs)) or waiting("check")
    run = check_inputs(
        names, Settings(sent, fill, described(host), strict, require=require, match=match)
    )
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
    write(run, chosen, options, output)
    return told(run.totals(), chosen.tells and not output)
