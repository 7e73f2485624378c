"""The command line: one file a command, imported when it is asked for.

A command's file offers ``command``. What a user does wrong is one line on standard error and
exit code 2; a reader that goes away (141) and an interrupt (130) are quiet.
"""

from __future__ import annotations

import importlib
import os
import sys
from collections.abc import Sequence

import click

from framecheck.cli._door import close_quietly, complain, hints
from framecheck.core.problem import Problem
from framecheck.core.quote import quote
from framecheck.core.shelf import modules

INTERRUPTED = 130
PIPE_CLOSED = 141
"""128 and the number of the signal, as shells report them."""

HELP = """From a console log to the octets of a frame that are wrong.

A board printed network frames as hex among its chatter. Each is decoded and judged; what is
wrong is shown where it stands in the log, with the sentence of the standard that says so.

Offsets are hex (0x22), counts are decimal. Lines and columns of a log count from 1.
"""


class Commands(click.Group):
    """The commands are the files of this folder."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names of the commands."""
        return list(modules(__name__))

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import the file of that name, or None."""
        if cmd_name not in modules(__name__):
            return None
        command: click.Command = importlib.import_module(f"{__name__}.{cmd_name}").command
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """As click does, with our own words for a command that does not exist."""
        if args and not args[0].startswith("-") and args[0] not in modules(__name__):
            known = modules(__name__)
            raise Problem(f"no command {quote(args[0])}; {hints(args[0], known)}")
        return super().resolve_command(ctx, args)


commands = Commands(
    "framecheck",
    help=HELP,
    no_args_is_help=False,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
)


@commands.result_callback()
@click.pass_context
def _done(ctx: click.Context, code: int | None) -> int:
    """The exit code of the command; without a command, the help."""
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help())
    return code or 0


def run(arguments: Sequence[str]) -> int:
    """Run one command; returns its exit code. Nothing but a fault of our own raises."""
    try:
        code = _invoked(arguments)
        sys.stdout.flush()
        return code
    except Problem as problem:
        return complain(str(problem))
    except click.UsageError as error:
        return complain(_usage(error))
    except click.exceptions.Exit as left:
        return left.exit_code
    except (KeyboardInterrupt, click.Abort):
        close_quietly()
        return INTERRUPTED
    except BrokenPipeError:
        close_quietly()
        return PIPE_CLOSED
    except OSError as error:  # of standard output: a full disk; inputs and --output say their own
        close_quietly()
        return complain(f"cannot write the report ({(error.strerror or str(error)).lower()})")


def _invoked(arguments: Sequence[str]) -> int:
    if sys.stdout is None:  # closed by whoever started us: the exit code alone is wanted
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115 - until we leave
    if hasattr(sys.stdout, "reconfigure"):
        sys.stdout.reconfigure(errors="backslashreplace")
    with commands.make_context("framecheck", list(arguments)) as ctx:
        result = commands.invoke(ctx)
    return result if isinstance(result, int) else 0


def _usage(error: click.UsageError) -> str:
    command = (error.ctx and error.ctx.info_name) or "framecheck"
    if isinstance(error, click.NoSuchOption):
        known = [o for p in error.ctx.command.params for o in p.opts] if error.ctx else []
        wrong = error.option_name
        return f"{command} has no option {quote(wrong)}; {hints(wrong, known)}"
    said = quote(" ".join(error.format_message().split())).rstrip(".")
    return f"{command}: {said[:1].lower()}{said[1:]}; -h says more"
