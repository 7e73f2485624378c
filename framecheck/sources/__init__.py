"""Where octets come from: files, standard input, captures, archives, told apart by their octets.

``open_input`` opens one and says which it is; ``open_inputs`` also walks folders, patterns and
archives. Nothing is held in memory but one piece of an input.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from io import BytesIO
from typing import NamedTuple

from framecheck.sources._error import InputError, failed
from framecheck.sources._stream import Stream
from framecheck.sources.capture import MAGICS, CaptureInput
from framecheck.sources.named import file_of, fits, names, opened
from framecheck.sources.packed import members
from framecheck.sources.text import TextInput

__all__ = [
    "CaptureInput",
    "InputError",
    "Source",
    "TextInput",
    "open_input",
    "open_inputs",
    "open_octets",
]

Input = TextInput | CaptureInput


class Source(NamedTuple):
    """One input of several: its name, and the input or why there is none."""

    name: str
    input: Input | None
    error: InputError | None = None


def open_input(name: str) -> Input:
    """Open one input: a path, ``-`` for standard input, or a URL; captures by their magic.

    A compressed file is unpacked; of an archive the first member is taken, or the one that the
    path names behind the archive. Raises InputError when there is nothing to read: absent, a
    directory, not permitted, damaged.
    """
    for source in _of(name):
        if source.input is None:
            raise source.error or InputError(name, "holds nothing", "give a log or a capture")
        return source.input
    raise InputError(name, "is an archive without a file", "give one that holds a log")


def open_inputs(name: str, match: str | None = None) -> Iterator[Source]:
    """All inputs that a name stands for, in the order of their names, opened one at a time.

    ``name``: as for ``open_input``, or a folder, or a pattern with ``*``, ``?``, ``[]``; ``match``:
    a pattern that files of folders and archives must fit, by their own name or their whole path.
    What cannot be opened comes as an error and stops none of the others.
    """
    for one, wanted in names(name, match):
        if isinstance(wanted, InputError):
            yield Source(one, None, wanted)
            continue
        try:
            yield from _of(one, match)
        except InputError as error:
            yield Source(one, None, error)


def open_octets(name: str, octets: bytes) -> Iterator[Source]:
    """The inputs in octets that are at hand: a file that was handed over, an archive's members."""
    yield from _unpacked(name, Stream(BytesIO(octets)))


def _of(name: str, match: str | None = None) -> Iterator[Source]:
    """Raises InputError when the file cannot be opened, or an archive has no such member."""
    file = file_of(name)
    if file == name:
        yield from _unpacked(name, opened(name), match)
        return
    found = False
    for source in _unpacked(file, opened(file)):
        if source.name == name or (source.name == file and source.input is None):
            found = True
            yield source
        elif source.input is not None:
            source.input.close()
    if not found:
        raise InputError(name, "there is no such file", "check the path")


def _unpacked(name: str, stream: Stream, match: str | None = None) -> Iterator[Source]:
    found = False
    for member in members(name, stream):
        if member.error is not None or member.stream is None:
            found = True
            yield Source(member.name, None, member.error)
        elif member.name == name or match is None or fits(member.name, match):
            found = True
            yield _told_apart(member.name, member.stream)
    if not found:
        what = "is an archive without a file" + (f" that fits {match}" if match else "")
        yield Source(name, None, InputError(name, what, "give one that holds a log"))


def _told_apart(name: str, stream: Stream) -> Source:
    try:
        magic = stream.peek(4)
    except InputError as error:
        _quietly_closed(stream)
        return Source(name, None, error)
    except OSError as error:
        _quietly_closed(stream)
        return Source(name, None, failed(name, error))
    made = CaptureInput(name, stream) if magic in MAGICS else TextInput(name, stream)
    return Source(name, made)


def _quietly_closed(stream: Stream) -> None:
    with suppress(OSError):
        stream.close()
