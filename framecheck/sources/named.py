"""From the names that a user gives to files: folders, patterns, URLs, standard input."""

from __future__ import annotations

import os
import re
import stat
import sys
from collections.abc import Iterator
from typing import BinaryIO, cast

from framecheck.sources._error import InputError, failed
from framecheck.sources._stream import Stream

_PATTERN = re.compile(r"[*?]|\[.+\]")


def names(name: str, match: str | None = None) -> Iterator[tuple[str, InputError | None]]:
    """The files that a name stands for, sorted; hidden ones of a folder are left out.

    A name that stands for none comes with the error that says so.
    """
    if name == "-" or "://" in name or os.path.isfile(name):
        yield name, None
    elif os.path.isdir(name):
        yield from _listed(name, _walked(name), match)
    elif not os.path.exists(name) and _PATTERN.search(name):
        import glob

        found = sorted(n for n in glob.glob(name, recursive=True) if os.path.isfile(n))
        yield from _listed(name, iter(found), match, "no file fits this pattern")
    else:
        yield name, None  # opening it says what is wrong


def _listed(
    name: str, found: Iterator[str], match: str | None, none: str = "is a folder without a file"
) -> Iterator[tuple[str, InputError | None]]:
    some = False
    for path in found:
        if match is None or fits(path, match):
            some = True
            yield path, None
    if not some:
        fitting = f" that fits {match}" if match is not None else ""
        yield name, InputError(name, none + fitting, "name the logs or the captures")


def _walked(folder: str) -> Iterator[str]:
    for at, folders, files in os.walk(folder):
        folders[:] = sorted(f for f in folders if not f.startswith("."))
        for file in sorted(files):
            path = os.path.join(at, file)
            if not file.startswith(".") and os.path.isfile(path):
                yield path


def file_of(name: str) -> str:
    """The file that a name stands in: its own, or that of an archive whose member it names."""
    at = name
    while at and not os.path.exists(at):
        at = os.path.dirname(at)
    return at if "://" not in name and os.path.isfile(at) else name


def fits(path: str, match: str) -> bool:
    """Whether a file's own name, or its whole path, fits a pattern."""
    from fnmatch import fnmatchcase

    path = path.replace(os.sep, "/")
    return fnmatchcase(path.rpartition("/")[2], match) or fnmatchcase(path, match)


def opened(name: str) -> Stream:
    """A path, ``-`` or a URL as a stream. Raises InputError when there is nothing to read."""
    if name == "-":
        return Stream(_standard_input())
    return Stream(_remote(name) if "://" in name else _file(name))


def _standard_input() -> BinaryIO:
    if sys.stdin is None:
        raise InputError("-", "standard input is closed", "name a file instead")
    return cast(BinaryIO, sys.stdin.buffer)


def _file(name: str) -> BinaryIO:
    try:
        if stat.S_ISDIR(os.stat(name).st_mode):
            raise InputError(name, "is a directory", "name the log or the capture in it")
        return open(name, "rb")  # closed by the input that is made of it
    except FileNotFoundError:
        raise InputError(name, "there is no such file", "check the path") from None
    except PermissionError:
        raise InputError(name, "may not be read", "check its permissions") from None
    except (OSError, ValueError) as error:
        raise failed(name, error) from None


def _remote(name: str) -> BinaryIO:
    """What fsspec opens; a scheme may want a library of its own, which the error then names."""
    import fsspec

    try:
        return cast(BinaryIO, fsspec.open(name, "rb").open())
    except FileNotFoundError:
        raise InputError(name, "there is no such file", "check the address") from None
    except Exception as error:  # each scheme has errors of its own
        raise failed(name, error) from None
