"""``framecheck law``: what do many damaged frames have in common, and what is done about it?"""

from __future__ import annotations

import sys

import click

from framecheck.core.shelf import modules

REPORTS = "framecheck.reports"


@click.command(
    "law",
    short_help="What is the law behind the damage of many frames?",
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
@click.option(
    "--buffer-address",
    metavar="ADDRESS",
    help="Where octet 0 of a received frame lies in memory, as in 0x20001002: lines of a cache and "
    "widths of a bus are counted from there.",
)
@click.option("--host", metavar="mac=..,ip=..,port=..", help="Who the board is, any of the three.")
@click.option(
    "--report", type=click.Choice(modules(REPORTS)), default="terminal", help="How to say it."
)
@click.option("--output", metavar="FILE", help="Write there, whole or not at all.")
@click.option("--strict", is_flag=True, help="Suspicious frames count as damaged.")
def command(
    inputs: tuple[str, ...],
    sent: str | None,
    fill: str | None,
    buffer_address: str | None,
    host: str | None,
    report: str,
    output: str | None,
    strict: bool,
) -> int:
    """What is the law behind the damage of many frames, and what does a driver do about it?

    INPUT is a console log, - for standard input, or a capture. Frames are held against what was
    sent (--sent), or what the buffer held before (--fill). One law is looked for that explains
    all of them; what cannot be told apart is said, with the frame to send next.
    """
    from framecheck.cli._door import columns, complain, in_colour
    from framecheck.cli._inputs import told, waiting, write
    from framecheck.core.address import address
    from framecheck.core.host import host as described
    from framecheck.core.report import Report, ReportOptions
    from framecheck.core.shelf import load
    from framecheck.reports._law import LAW
    from framecheck.run import Settings, check_inputs

    names = tuple(dict.fromkeys(inputs)) or waiting("law")
    there = address(buffer_address)
    run = check_inputs(
        names, Settings(sent, fill, described(host), strict, law=True, address=there)
    )
    chosen = LAW if report == "terminal" else load(REPORTS, report, Report)[0]
    options = ReportOptions(
        inputs=names,
        colour=output is None and in_colour(sys.stdout),
        width=80 if output else columns(sys.stdout),
        fill=fill,
        sent=sent,
    )
    write(run, chosen, options, output)
    said = chosen.tells and not output
    if not said:
        for note in run.totals().law_notes:
            complain(note)
    return told(run.totals(), said)
