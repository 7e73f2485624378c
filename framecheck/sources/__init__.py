"""Where octets come from: a file, standard input or a capture, told apart by their first octets.

``open_input`` opens one and says which it is; nothing is held in memory but one piece of it.
"""

from __future__ import annotations

import os
import stat
import sys
from typing import BinaryIO, cast

from framecheck.sources._error import InputError, failed
from framecheck.sources._stream import Stream
from framecheck.sources.capture import MAGICS, CaptureInput
from framecheck.sources.text import TextInput

__all__ = ["CaptureInput", "InputError", "TextInput", "open_input"]

Input = TextInput | CaptureInput


def open_input(name: str) -> Input:
    """Open a file by its path, or standard input for ``-``; captures are known by their magic.

    Raises InputError when there is nothing to read: absent, a directory, not permitted.
    """
    stream = Stream(_standard_input() if name == "-" else _file(name))
    try:
        magic = stream.peek(4)
    except OSError as error:
        stream.close()
        raise failed(name, error) from None
    return CaptureInput(name, stream) if magic in MAGICS else TextInput(name, stream)


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
