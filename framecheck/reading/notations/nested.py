"""``(02 00 5e 10) (00 01 02 00)``: brackets around several octets."""

import re

from framecheck.reading._notation import Notation

_PAIR = "[0-9A-Fa-f]{2}"

NESTED = Notation(
    "brackets around groups",
    "",
    re.compile(
        rf"(?<={_PAIR})[)\]}}>][ \t,;|]{{0,2}}"
        rf"[(\[{{<](?={_PAIR}(?:[ ,:\-]{_PAIR}|(?:{_PAIR})+[)\]}}>]))"
    ),
    "(02 00 5e 10) (00 01 02 00) (5e 10 00 02) (08 06)",
    rf"{_PAIR}[)\]}}>][ ,]{{0,2}}[(\[{{<]{_PAIR}",
)
