"""``framecheck probe``: which frames to send next to be sure, and what is in them?"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from framecheck.damage.probes import Addresses
    from framecheck.probes.build import Probe

_MOST_LENGTHS = 4096
_KINDS = ("ethernet", "arp", "udp", "echo")
_REPORTS = ("terminal", "json")
_FORMS = (".pcap", ".c", ".txt")


class Probes(click.Group):
    """The group, with our own words for a command that it does not have."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """As click does, but an unknown command is one clear line."""
        from framecheck.cli._door import hints
        from framecheck.core.problem import Problem
        from framecheck.core.quote import quote

        if args and not args[0].startswith("-") and args[0] not in self.commands:
            raise Problem(f"probe: no command {quote(args[0])}; {hints(args[0], self.commands)}")
        return super().resolve_command(ctx, args)


@click.group(
    "probe",
    cls=Probes,
    no_args_is_help=False,
    invoke_without_command=True,
    short_help="What do I send next to be sure?",
)
@click.pass_context
def command(ctx: click.Context) -> None:
    """What do I send next to be sure, and what is in it?

    A probe is a frame whose octets say where they belong, so that whatever a transfer does to it
    can be told without a second capture. Send probes only into a network that you may test.
    """
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help())


@command.command("plan", short_help="Which lengths part the laws that still stand?")
@click.argument("inputs", nargs=-1, metavar="[LOG]...")
@click.option("--sent", metavar="CAPTURE", help="What was sent: a capture or a hex log.")
@click.option("--fill", metavar="PATTERN", help="What the buffer held beforehand.")
@click.option("--host", metavar="mac=..,ip=..", help="Who the board is.")
@click.option("--report", type=click.Choice(_REPORTS), default="terminal", help="How to say it.")
@click.option("--output", metavar="FILE", help="Write there, whole or not at all.")
def plan(
    inputs: tuple[str, ...],
    sent: str | None,
    fill: str | None,
    host: str | None,
    report: str,
    output: str | None,
) -> int:
    """Which frame lengths part the laws that still stand, and what would each decide?

    Without a LOG: the lengths to begin with. With one: the laws that explain its frames are held
    against one another, and the lengths on which they disagree most are named.
    """
    from framecheck.probes import report as words

    laws, code = _laws(inputs, sent, fill, host) if inputs else ([], 0)
    if laws:
        from framecheck.probes.plan import plan as planned
        from framecheck.probes.plan import standing

        found = planned(standing(laws))
        value, lines = words.plan_json(found), words.plan_lines(found)
    else:
        from framecheck.probes.openings import openings

        first = openings()
        value, lines = words.opening_json(first), words.opening_lines(first)
    _write(output, _json(value) if report == "json" else _wrapped(lines, output))
    return code


def _laws(
    inputs: Sequence[str], sent: str | None, fill: str | None, host: str | None
) -> tuple[Sequence[Mapping[str, Any]], int]:
    """The ranking of laws of these inputs; 2 when an input could not be read or held no frame."""
    from framecheck.cli._door import complain
    from framecheck.cli._inputs import told
    from framecheck.core.host import host as described
    from framecheck.run import Settings, check_inputs

    names = tuple(dict.fromkeys(inputs))
    run = check_inputs(names, Settings(sent, fill, described(host), law=True))
    for _ in run:
        pass
    totals = run.totals()
    for note in totals.law_notes:
        complain(note)
    told(totals, False)
    unread = any(i.error or not i.dumps for i in totals.inputs)
    return totals.laws, 2 if unread else 0


@command.command("build", short_help="Write probes as a capture, a hex log or an array in C.")
@click.option("--lengths", metavar="63,78,95", help="Octets of each frame, FCS not counted.")
@click.option("--sweep", is_flag=True, help="The 24 lengths that part the most laws.")
@click.option(
    "--kind", type=click.Choice(_KINDS), default="ethernet", help="What carries the octets."
)
@click.option("--host", metavar="mac=..,ip=..", help="Where they go: else documentation addresses.")
@click.option(
    "--repeat", type=click.IntRange(1, 10_000), default=1, help="All of them so many times."
)
@click.option("--output", metavar="FILE", help="A capture (.pcap), C (.c) or a hex log (.txt).")
@click.option("--report", type=click.Choice(_REPORTS), default="terminal", help="Or as JSON.")
def build(
    lengths: str | None,
    sweep: bool,
    kind: str,
    host: str | None,
    repeat: int,
    output: str | None,
    report: str,
) -> int:
    """Write probes as a capture (.pcap), as C (.c) or as a hex log (.txt, and on the terminal).

    Kinds: ethernet (local experimental type 88B5), arp, udp (discard port), echo. Send these frames
    only into a network that you may test.
    """
    from framecheck.core.problem import Problem
    from framecheck.damage.probes import SWEEP
    from framecheck.probes import build as forms
    from framecheck.probes.openings import openings

    if lengths is not None and sweep:
        raise Problem("probe build: give --lengths or --sweep, not both")
    wanted = SWEEP if sweep else _lengths(lengths) if lengths else openings()[0].lengths
    if len(wanted) * repeat > forms.MOST:
        raise Problem(f"probe build: {len(wanted) * repeat} frames are more than {forms.MOST}")
    to = _addresses(host)
    made = forms.build(wanted, kind, to, repeat)
    if report == "json":
        _write(output, _json(forms.as_json(made, to)))
    else:
        _write(output, _form(made, output))
    if output:
        sys.stderr.write(f"{len(made)} probes in {output}. {forms.CAUTION}\n")
    return 0


def _form(made: Sequence[Probe], output: str | None) -> Iterator[str] | Iterator[bytes]:
    from framecheck.cli._door import hints
    from framecheck.core.problem import Problem
    from framecheck.core.quote import quote
    from framecheck.probes import build as forms

    suffix = os.path.splitext(output)[1].lower() if output else ".txt"
    if suffix == ".pcap":
        return iter((forms.capture(made),))
    if suffix == ".c":
        return forms.c_source(made)
    if suffix == ".txt":
        return forms.hex_log(made)
    raise Problem(f"--output {quote(output or '')}: the end says the form; {hints('', _FORMS)}")


def _lengths(text: str) -> tuple[int, ...]:
    from framecheck.core.problem import Problem
    from framecheck.core.quote import quote
    from framecheck.damage.probes import LONGEST, SHORTEST

    found = []
    for part in text.split(","):
        digits = part.strip()
        known = digits.isascii() and digits.isdigit() and len(digits) <= 4
        if not known or not SHORTEST <= int(digits) <= LONGEST:
            raise Problem(
                f"--lengths: {quote(digits)} is no length from {SHORTEST} to {LONGEST} octets"
            )
        found.append(int(digits))
    if len(found) > _MOST_LENGTHS:
        raise Problem(f"--lengths: more than {_MOST_LENGTHS} of them")
    return tuple(found)


def _addresses(text: str | None) -> Addresses:
    from framecheck.core.host import host as described
    from framecheck.core.problem import Problem
    from framecheck.damage.probes import BOARD, Addresses

    given = described(text)
    if given.ip is not None and len(given.ip) != 4:
        raise Problem("--host: probes go to IPv4 addresses; give one, as in ip=192.0.2.77")
    return Addresses(given.mac or BOARD.mac, given.ip or BOARD.ip)


def _json(value: Mapping[str, Any]) -> Iterator[str]:
    yield json.dumps(value, indent=1) + "\n"


def _wrapped(lines: Iterable[tuple[str, str]], output: str | None) -> Iterator[str]:
    from framecheck.cli._door import columns
    from framecheck.reports._page import wrap

    width = 80 if output else columns(sys.stdout)
    for label, text in lines:
        yield from (f"{row}\n" for row in wrap(text, width, label))


def _write(output: str | None, pieces: Iterator[str] | Iterator[bytes]) -> None:
    from framecheck.cli._door import write_whole

    if output:
        write_whole(output, pieces)
        return
    for piece in pieces:
        sys.stdout.write(piece if isinstance(piece, str) else piece.decode("latin-1"))
