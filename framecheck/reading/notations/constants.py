"""``(byte) 0x02`` or ``0x02u8``: C-like hex constants that say their type."""

import re

from framecheck.reading._notation import Notation

_BEHIND = "|".join(rf"(?<=0[xX][0-9A-Fa-f]{{{n}}})" for n in (2, 4, 8, 16))

TYPED = Notation(
    "0x and a type at each group",
    "0x",
    re.compile(
        r"\((?:unsigned[ \t]+)?(?:byte|char|u?int8(?:_t)?|u8)\)[ \t]*(?=0[xX][0-9A-Fa-f])"
        rf"|(?:{_BEHIND})_?(?:u(?:8|16|32|64)|[uU][lL]{{0,2}}|[lL]{{1,2}})(?![0-9A-Za-z_])"
    ),
    "0x02u8, 0x00u8, 0x5eu8, 0x10u8, 0x00u8, 0x01u8, 0x02u8, 0x00u8, 0x5eu8, 0x10u8, 0x00u8, "
    "0x02u8, 0x08u8, 0x06u8",
    r"(?:0[xX](?:[0-9A-Fa-f]{2}){1,8}_?[uUlL][0-9uUlL]{0,2}|\)[ \t]*0[xX][0-9A-Fa-f]{2})[ \t]*,",
)
