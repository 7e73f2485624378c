"""What a notation is: a rewriting of its marks to blanks, so that only digits stay."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from typing import NamedTuple

from framecheck.core.shelf import shelf


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
    varies: bool = False
    """Whether the marks differ from octet to octet, so that rows are read behind the rewriting."""


_GROUPS = re.compile(r"(?<![0-9A-Za-z])[0-9A-Fa-f]{2,}(?![0-9A-Za-z])").findall
_FEW = 3


def blanked(mark: re.Pattern[str]) -> Callable[[str], tuple[str, int]]:
    """A rewriting of all marks to as many blanks, which also counts them."""
    return lambda line: mark.subn(lambda m: " " * len(m[0]), line)


@cache
def notations() -> tuple[Notation, ...]:
    """All notations of the shelf."""
    return shelf("framecheck.reading.notations", Notation)


def plain(line: str) -> tuple[str, str]:
    """The line with every notation's marks blanked, and the name of what was blanked.

    Of several it is the one with the most marks: another may stand in a remark.
    """
    name, most = "", 0
    for notation in notations():
        if notation.sign in line or notation.sign.upper() in line:
            text, marks = blanked(notation.mark)(line)
            if marks:
                line = text
            if marks >= max(most, 1):
                name, most = notation.name, marks
    if most == 1 and len(_GROUPS(line)) > _FEW:
        name = ""  # an offset's
    return line, name


@cache
def varying(name: str) -> Callable[[str], str] | None:
    """The rewriting of a notation whose marks differ from octet to octet; None for others."""
    varies = any(n.name == name and n.varies for n in notations())
    return (lambda line: plain(line)[0]) if varies else None
