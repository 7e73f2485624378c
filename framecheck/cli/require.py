"""``framecheck require``: what must a log of this board hold from now on?"""

from __future__ import annotations

import sys

import click


@click.command("require", short_help="What must a log of this board hold from now on?")
@click.argument("inputs", nargs=-1, metavar="LOG...")
@click.option("--match", metavar="PATTERN", help="Of folders and archives, only files that fit.")
@click.option("--output", metavar="FILE", help="Write there, whole or not at all.")
def command(inputs: tuple[str, ...], match: str | None, output: str | None) -> int:
    """What must a log of this board hold from now on?

    Writes a first file of requirements (TOML) from a LOG that is sound, for
    framecheck check --require FILE.
    """
    from framecheck.cli._door import complain, write_whole
    from framecheck.cli._inputs import told, waiting
    from framecheck.reports._words import states
    from framecheck.requirements import draft
    from framecheck.run import Settings, check_inputs

    names = tuple(dict.fromkeys(inputs)) or waiting("require")
    run = check_inputs(names, Settings(match=match))
    text = draft(run)
    totals = run.totals()
    code = told(totals, False)
    if code:
        if totals.tally.frames and not any(i.error for i in totals.inputs):
            said = f"{states(totals.tally)}; write requirements from a log that is sound"
            complain(f"nothing was written: {said}")
        return code
    if output:
        write_whole(output, iter([text]))
    else:
        sys.stdout.write(text)
    return 0
