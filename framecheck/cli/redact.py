"""``framecheck redact``: the log for others to see, without addresses, names and payload."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from framecheck.redaction import Redacted


@click.command(
    "redact",
    short_help="How do I show the log to others without showing my network?",
    epilog="Leaves with 0: written, every frame says what it said before. 1: written, but frames "
    "that are named say something else. 2: wrong usage, or the log cannot be read.",
)
@click.argument("log", required=False, metavar="[LOG]")
@click.option("--output", metavar="FILE", help="Write there, whole or not at all.")
@click.option(
    "--key",
    metavar="TEXT",
    help="Decides the stand-ins: the same key and log give the same outcome (default: drawn anew).",
)
@click.option(
    "--keep-chatter",
    is_flag=True,
    help="Keep other lines readable; only addresses and names of the frames are replaced there.",
)
@click.option("--sent", metavar="CAPTURE", help="What was sent: damage is then kept exactly.")
@click.option(
    "--fill",
    metavar="PATTERN",
    help="What the driver wrote into the buffer beforehand: its octets stay where they are.",
)
@click.option("--host", metavar="mac=..,ip=..,port=..", help="Who the board is, any of the three.")
def command(
    log: str | None,
    output: str | None,
    key: str | None,
    keep_chatter: bool,
    sent: str | None,
    fill: str | None,
    host: str | None,
) -> int:
    """How do I show the log to others without showing my network?

    LOG is a console log, or - for standard input. The same log comes out, line by line: layout,
    offsets, damage and every verdict stay; hardware and IP addresses become documentation
    addresses, names and payload are exchanged octet for octet, other lines are masked. The same
    value gets the same stand-in all through the log.

    \b
    framecheck redact bench.log --output for-the-vendor.log
    framecheck redact bench.log --fill letters --key orchard | framecheck check --fill letters -

    Payload keeps its shape: lengths, spaces and points, zero octets, which octets are equal. That
    hides values from a reader; who sets out to, may guess at long plain text. Words of consoles
    and numbers that are lengths, times or offsets stay. Look through the outcome before you hand
    it on, and keep a key to yourself.
    """
    import secrets

    from framecheck.cli._door import complain, write_whole
    from framecheck.cli._inputs import waiting
    from framecheck.core.host import host as described
    from framecheck.redaction import redact
    from framecheck.run import Settings

    name = log or waiting("redact")[0]
    text = _text(name)
    settings = Settings(sent, fill, described(host))
    drawn = key.encode("utf-8", "surrogateescape") if key is not None else secrets.token_bytes(32)
    done = redact(text, drawn, settings, keep_chatter=keep_chatter)
    if output:
        write_whole(output, iter((done.text,)))
    else:
        sys.stdout.write(done.text)
        sys.stdout.flush()
    for line in _summary(done, keep_chatter):
        sys.stderr.write(f"{line}\n")
    if not done.frames:
        complain("no frame found: every line was masked as chatter")
        return 2
    return 1 if done.differing else 0


def _text(name: str) -> str:
    """The whole text of a log. Raises Problem when it cannot be read, or is no text."""
    from framecheck.core.problem import Problem
    from framecheck.core.quote import quote
    from framecheck.sources import InputError, TextInput, open_input

    try:
        source = open_input(name)
        if not isinstance(source, TextInput):
            source.close()
            raise Problem(f"{quote(name)}: a capture has no text; redact takes a console log")
        return "".join(source.pieces())
    except InputError as error:
        raise Problem(str(error)) from None


def _summary(done: Redacted, asked: bool) -> list[str]:
    replaced = ", ".join(f"{n} {what}" for what, n in done.counts.items() if n) or "nothing"
    lines = [f"replaced: {replaced}; {done.masked} other lines changed"]
    hardware, networks = done.beyond
    if hardware or networks:
        lines.append(
            f"beyond the documentation ranges: {hardware} hardware addresses, {networks} networks"
        )
    if done.unsure:
        lines.append(f"not judged: digits that the console broke, in frames {_few(done.unsure)}")
    if done.unread:
        lines.append(f"hidden from end to end, no header found: frames {_few(done.unread)}")
    if done.words:
        lines.append("kept besides: the words in the lines of frames; their layout hangs on them")
    if done.chatter and not asked:
        lines.append(
            "kept besides: all other lines, but for addresses and names in them; how frames are "
            "read hangs on them: look through them"
        )
    for number, octets in done.stayed[:10]:
        lines.append(f"kept besides: {octets} octets of frame {number}; its verdicts hang on them")
    for line, column in done.unwritable[:10]:
        lines.append(f"not written: the digits in line {line}, column {column} (zeros instead)")
    for record, names in done.differing[:10]:
        at = record.places.lines()
        where = f" (lines {at[0]}-{at[1]})" if at else ""
        lines.append(f"not kept: frame {record.number}{where}: {', '.join(names)}")
    if len(done.differing) > 10:
        lines.append(f"not kept: {len(done.differing) - 10} frames more")
    if not done.differing and done.frames:
        lines.append(f"kept: all that a check says of {done.frames} frames, values aside")
    return lines


def _few(numbers: tuple[int, ...]) -> str:
    shown = ", ".join(map(str, numbers[:10]))
    return shown if len(numbers) <= 10 else f"{shown} and {len(numbers) - 10} more"
