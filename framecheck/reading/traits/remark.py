"""A remark behind a row's octets: ``// offset 0x10``, ``; 0010h``, ``@ 0x10``, ``<- 16``.

Source code has its own marks for remarks; what stands behind every row alike, but for its
numbers, is one under any mark.
"""

from __future__ import annotations

import re
from collections.abc import Callable

_NUMBER = r"(?<![0-9A-Za-z_])(?:0[xX])?[0-9A-Fa-f]+[hH]?(?![0-9A-Za-z_])"
_PART = re.compile(rf"(?P<number>{_NUMBER})|(?P<digits>\d+)|.", re.DOTALL)
_NUMBERS = re.compile(_NUMBER)
_ANY = r"(?:0[xX])?[0-9A-Fa-f]+[hH]?(?![0-9A-Za-z_])"
"""Any number, to its end: what follows is never tried inside it."""
_MARKED = re.compile(
    r"[,; \t]*(?://|--|/\*|#+[ \t\w])|[, \t]*;[ \t]+(?!(?:[0-9A-Fa-f]{2}\W){2})\S"
    r"|[,; \t]+[@%!][ \t]*\w"
)
_LONE_DIGIT = re.compile(r"[ ,:\-]{1,2}[0-9A-Fa-f]")
"""What is left behind a row that lost a digit of its last octet."""
_LONGEST = 80

is_remark = _MARKED.match
"""Whether a text behind octets begins with a mark that makes the rest a remark."""


is_empty = re.compile(r"(?:[ ,:]{1,3}(?:--|\.\.|__|\*\*|\?\?|[xX]{2}))+[ \t]*").fullmatch
"""Whether a text behind octets is nothing but places that hold none: ``-- -- --``."""


def pattern(rest: str, counted: bool) -> Callable[[str], object] | None:
    """A pattern for what stands behind the octets of every row: the same marks, any numbers.

    ``counted``: an offset says which lines are rows, so that words may stand there too.
    """
    bare = rest.strip()
    if not bare or len(bare) > _LONGEST or _LONE_DIGIT.fullmatch(rest):
        return None
    words = _NUMBERS.sub("", bare)
    if (
        any(c.isalnum() for c in words)
        and not counted
        and rest[0] not in "<\"'),;]}u"
        and bare[0] not in "([{;#@"
    ):
        return None
    parts = [
        _ANY if m["number"] else r"\d+" if m["digits"] else re.escape(m[0])
        for m in _PART.finditer(bare)
    ]
    return re.compile(re.sub(r"(?:\\[ \t])+", r"[ \\t]*", "".join(parts))).fullmatch
