"""``02+00+5e``, ``%02%00``, ``#02 #00``: octets between marks that are no usual separators."""

import re

from framecheck.reading._notation import Notation

_OCTETS = ("02", "00", "5e", "10", "00", "01", "02", "00", "5e", "10", "00", "02", "08", "06")
_PAIR = "[0-9A-Fa-f]{2}"


def _joined(mark: str) -> Notation:
    """The notation of octets with this mark between them, at least three in a row."""
    m = re.escape(mark)
    return Notation(
        f"{mark} between octets",
        mark,
        re.compile(f"(?<={_PAIR}){m}(?={_PAIR}{m})|(?<={m}{_PAIR}){m}(?={_PAIR}(?![0-9A-Za-z_]))"),
        mark.join(_OCTETS),
        f"(?:{_PAIR}{m}){{3}}",
    )


PLUS = _joined("+")
EQUALS = _joined("=")
TICK = _joined("'")
TILDE = _joined("~")
STAR = _joined("*")
AMPERSAND = _joined("&")
BACKSLASH = _joined("\\")

PERCENT = Notation(
    "percent sign before each octet",
    "%",
    re.compile(rf"(?<=%{_PAIR})%(?={_PAIR})|%(?={_PAIR}%)"),
    "%" + "%".join(_OCTETS),
    f"(?:%{_PAIR}){{3}}",
)
NUMBER_SIGN = Notation(
    "number sign before each octet",
    "#",
    re.compile(rf"(?<![0-9A-Za-z_])#(?={_PAIR}(?![0-9A-Za-z_]))"),
    "#" + " #".join(_OCTETS),
    f"(?:#{_PAIR}[ ,]+){{2}}",
)
ENTITY = Notation(
    "character references",
    "&#x",
    re.compile(rf"&#[xX](?={_PAIR};)|(?<=&#[xX]{_PAIR});"),
    "".join(f"&#x{o};" for o in _OCTETS),
    f"(?:&#[xX]{_PAIR};){{2}}",
)
