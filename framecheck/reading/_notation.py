"""What a notation is: a rewriting of its marks to blanks, so that only digits stay."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import NamedTuple


class Notation(NamedTuple):
    """A way to write octets as digits."""

    name: str
    """In our own plain words, for ``layout``."""
    sign: str
    """Characters without which a line holds nothing in this notation (a quick look)."""
    mark: re.Pattern[str]
    """What is rewritten to blanks."""
    example: str
    """One line in this notation, for tests."""
    looks: str = ""
    """A pattern of lines in this notation, where they do not look like groups at once."""


def blanked(mark: re.Pattern[str]) -> Callable[[str], str]:
    """A rewriting of all marks to as many blanks."""
    return lambda line: mark.sub(lambda m: " " * len(m[0]), line)
