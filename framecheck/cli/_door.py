"""What every command needs at the edge: error lines, hints, and a file written whole or not."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Iterator
from contextlib import suppress
from itertools import chain
from typing import TextIO

from framecheck.core.problem import Problem
from framecheck.core.quote import quote

USAGE = 2


def complain(line: str) -> int:
    """One line on standard error; returns the exit code for it."""
    with suppress(OSError, ValueError):
        sys.stderr.write(f"framecheck: {line}\n")
    return USAGE


def hints(wrong: str, known: Iterable[str], otherwise: str = "") -> str:
    """What the user may have meant; else ``otherwise``, or all that there is."""
    from difflib import get_close_matches

    names = sorted(known)
    near = get_close_matches(wrong, names, n=2, cutoff=0.6)
    if near:
        return f"did you mean {' or '.join(near)}?"
    return otherwise or f"there are {', '.join(names)}"


def close_quietly() -> None:
    """Let the interpreter leave without a word about a standard output that is gone."""
    with suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def in_colour(stream: TextIO) -> bool:
    """Whether colour is wanted and can be seen (https://no-color.org; TERM of POSIX)."""
    if os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb":
        return False
    return stream.isatty()


def columns(stream: TextIO) -> int:
    """Columns to write for: 80, or what a terminal has, within reason."""
    if not stream.isatty():
        return 80
    try:
        found = os.get_terminal_size(stream.fileno()).columns or 80  # 0: nobody told the terminal
        return min(max(found, 40), 100)
    except OSError:
        return 80


def write_whole(path: str, pieces: Iterator[str] | Iterator[bytes]) -> None:
    """A file that appears under its name when all of it is written, and not at all otherwise.

    What is no regular file (a pipe, a device) is written straight; without pieces there is none.
    Raises Problem when it cannot be written.
    """
    first = next(pieces, None)
    if first is None:
        return
    target = os.path.realpath(path)
    straight = os.path.exists(target) and not os.path.isfile(target)
    part = target if straight else f"{target}.{os.getpid()}.part"
    try:
        with open(part, "wb") as file:
            for piece in chain((first,), pieces):
                octets = (
                    piece.encode("utf-8", "backslashreplace") if isinstance(piece, str) else piece
                )
                file.write(octets)
        if not straight:
            os.replace(part, target)
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise Problem(f"--output {quote(path)}: cannot be written ({why})") from None
    finally:
        if not straight:
            with suppress(OSError):
                os.unlink(part)
