"""What does not hold now, as the tests list it: run it after a change to the reader, take out what
holds, and look hard at anything new.

``python -m tests.trials.lists`` prints the exact lists of ``test_console_small``, ``test_printers``
and ``test_bad_logs``.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.outside import test_bad_logs as bad_logs
from tests.outside import test_printers as printers
from tests.trials import test_console_small as console


def holds(test: Callable[..., object], *given: Any) -> bool:
    """Whether a test passes; anything but a failed assertion is said, and is no list's matter."""
    try:
        test(*given)
    except AssertionError:
        return False
    except Exception as error:
        print(f"raised, which nothing may: {given}: {error!r}", file=sys.stderr)
    return True


def by_c(program: Path, name: str) -> bool:
    """Whether what the compiled printer prints in this form comes back."""
    shape, unit, most, form = printers.PRINTF[name]

    def printed(octets: bytes) -> str:
        command = [program, shape, unit, str(most)]
        run = subprocess.run(command, input=octets, capture_output=True, check=True)
        return run.stdout.decode()

    return not printers.missed(name, form, printed)


def said(name: str, found: list[Any]) -> None:
    """One list."""
    print(f"{name} = [" + "".join(f"\n    {x!r}," for x in found) + ("\n]" if found else "]"))


def main() -> None:
    """The command line."""
    said("WRONG", console.wrong_pairs())
    said("UNSURE", console.unsure_layouts())
    with tempfile.TemporaryDirectory() as folder:
        program = printers.compiled(Path(folder))
        library = [
            n
            for n, form in printers.FORMS.items()
            if not holds(_true, lambda n, f: not printers.missed(n, f, f.text), n, form)
        ]
        said(
            "NOT_YET", library + [n for n in printers.PRINTF if not holds(_true, by_c, program, n)]
        )
    bad_logs.WITHOUT_A_WORD = bad_logs.ENDLESS = ()
    foreign = bad_logs.test_foreign_characters_anywhere_leave_no_wrong_octet_without_a_word
    said("WITHOUT_A_WORD", [n for n in bad_logs.SPRINKLED if not holds(foreign, n)])
    unclosed = bad_logs.test_a_line_without_its_end_is_through_at_once
    said("ENDLESS", [n for n in bad_logs.UNCLOSED if not holds(unclosed, n)])
    said("BLAMED", [p.stem for p in bad_logs.LOGS if bad_logs.blamed(p, bad_logs.BUDGET)])


def _true(test: Callable[..., bool], *given: Any) -> None:
    assert test(*given)


if __name__ == "__main__":
    main()
