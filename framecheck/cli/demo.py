"""``framecheck demo``: from a log to what to do next, offline: a frost alarm without an address."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import click

EXCERPT = 6
"""Lines of a long dump that are shown at its end."""


@click.command("demo", short_help="How does all this look, from a log to what to do next?")
@click.option("--keep", metavar="FILE", help="Also write the demo's log there.")
@click.option("--output", metavar="DIR", help="Write the whole scenario there.")
def command(keep: str | None, output: str | None) -> int:
    """How does all this look, from a log to what to do next?

    An orchard's frost alarm asks for an address; the answers arrive, and its stack ignores them.
    """
    import sys

    if output:
        return _scenario(output)
    from framecheck.cli import _orchard
    from framecheck.cli._door import columns, in_colour, write_whole
    from framecheck.core.report import ReportOptions
    from framecheck.reports.terminal import TERMINAL
    from framecheck.run import Settings, Text, check_inputs

    text = _orchard.log()
    if keep:
        write_whole(keep, iter([text]))
    name = keep or _orchard.NAME
    run = check_inputs([Text(name, text)], Settings(fill=_orchard.FILL))
    width = columns(sys.stdout)
    options = ReportOptions(
        inputs=(name,), colour=in_colour(sys.stdout), width=width, fill=_orchard.FILL
    )
    write = sys.stdout.write
    write(_wrapped(_BEFORE, width))
    write("".join(f"{line}\n" for line in _excerpt(text)))
    write(f"\n$ framecheck check {name} --fill {_orchard.FILL}\n\n")
    for piece in TERMINAL.write(run, run.totals, options):
        write(piece)
    write(_wrapped(_AFTER, width))
    write(_wrapped(_CAUTIONS, width))
    return 0


def _scenario(folder: str) -> int:
    """Write every file of the story, and one line about each."""
    from framecheck.cli import _scenario
    from framecheck.core.quote import quote

    told = _scenario.write(folder)
    click.echo(f"written to {quote(folder)}:")
    for name, says in told:
        click.echo(f"  {name:<18} {says}")
    return 0


def _excerpt(text: str) -> Iterator[str]:
    """The first refused answer, its middle left out, with the log's line numbers."""
    lines = list(enumerate(text.splitlines(), 1))
    start = next(i for i, (_, line) in enumerate(lines) if "discover sent" in line)
    stop = next(i for i, (_, line) in enumerate(lines) if "no answer" in line) + 1
    shown = lines[start:stop]
    for n, line in shown[:EXCERPT]:
        yield f"  {n:>4}  {line}"
    yield f"    ..  ({len(shown) - 2 * EXCERPT} more lines of the same dump)"
    for n, line in shown[-EXCERPT:]:
        yield f"  {n:>4}  {line}"


def _wrapped(paragraphs: Iterable[str], width: int) -> str:
    from framecheck.reports._page import wrap

    lines: list[str] = []
    for paragraph in paragraphs:
        number, dot, rest = paragraph.partition(". ")
        step = f"  {number}. " if dot and number.isdigit() else ""
        lines.extend(wrap(rest if step else paragraph, width, step) if paragraph else [""])
    return "".join(f"{line}\n" for line in lines)


_BEFORE = (
    "An orchard's frost alarm asks for an address. The DHCP server answers, twice, and the "
    "board's stack acts as if nothing had come. Its driver prints every frame that it receives; "
    "this is the part of the console log that matters:",
    "",
)
_AFTER = (
    "",
    "What this says: both answers end in octets that the transfer never wrote. The driver had "
    "filled the buffer with letters beforehand, and there the letters still are. The ARP "
    "requests are shorter, and came whole.",
    "",
    "What to do next",
    "1. Read the rule: framecheck explain udp-checksum",
    "2. Write this log to a file: framecheck demo --keep orchard.log",
    "3. See every field of it: framecheck check orchard.log --fill letters --all",
    "4. On your own board: fill the receive buffer before each transfer (odd-parity is a good "
    "fill), print each frame as hex, and give the log to framecheck check with --fill.",
)
_CAUTIONS = (
    "",
    "Before you connect anything: an RS-232 port swings to 12 V and more, which destroys the pins "
    "of a logic-level UART; use an adapter made for the board's level. Do not work inside opened "
    "equipment that is connected to the mains. Send test frames only into a network that you may "
    "test. Where local codes say otherwise, they prevail.",
)
