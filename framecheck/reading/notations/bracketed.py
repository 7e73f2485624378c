"""``[02][00]``, ``<02> <00>``, ``'02', '00'``: each octet between two marks."""

import re

from framecheck.reading._notation import Notation

_EXAMPLE = "[02][00][5e][10][00][01][02][00][5e][10][00][02][08][06]"


def _between(opening: str, closing: str) -> Notation:
    """The notation of octets between these two marks, at least two of them side by side."""
    a, b = re.escape(opening), re.escape(closing)
    octet = "(?:0[xX])?[0-9A-Fa-f]{2}"
    gaps = ("", " ", ",", ", ", ";", "; ")
    behind = "|".join(f"(?<={b}{gap})" for gap in gaps)
    inner = [f"{mark}[0-9A-Fa-f]{{2}}" for mark in ("", "0[xX]")]
    last = "|".join(f"(?<={b}{gap}{a}{one})" for gap in gaps for one in inner)
    more = f"{b}[,;]? ?{a}{octet}{b}"
    first = "|".join(f"(?<={a}{one})" for one in inner)
    return Notation(
        "a mark on each side of each octet",
        closing,
        re.compile(
            f"{a}(?={octet}{more})|(?:{behind}){a}(?={octet}{b})"
            f"|(?:{first}){b}(?=[,;]? ?{a}{octet}{b})|(?:{last}){b}"
        ),
        _EXAMPLE.replace("[", opening).replace("]", closing),
        f"(?:{a}{octet}{b}[,;]? ?){{2}}",
    )


SQUARE = _between("[", "]")
ANGLED = _between("<", ">")
ROUND = _between("(", ")")
CURLED = _between("{", "}")
QUOTED_ONCE = _between("'", "'")
QUOTED_TWICE = _between('"', '"')
