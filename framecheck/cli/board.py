"""``framecheck board``: what do I put on the board, so that its log can be trusted?"""

from __future__ import annotations

import sys

import click


@click.command("board", short_help="What do I put on the board, so that its log can be trusted?")
@click.option("--output", metavar="FILE", help="Write there, whole or not at all.")
def command(output: str | None) -> int:
    """What do I put on the board, so that its log can be trusted?

    Writes portable C (C89, a putchar is all it needs): fill the receive buffer with the
    recommended octets, and dump a frame with a count and a check behind each row, in full or only
    what differs from the fill or a probe. Logs that it prints are read by check and law.
    """
    from framecheck.cli._door import write_whole
    from framecheck.probes.board import source

    if output:
        write_whole(output, iter((source(),)))
    else:
        sys.stdout.write(source())
    return 0
