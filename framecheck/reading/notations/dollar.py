"""``$02 $00``: groups with the mark that some assemblers give hex constants."""

import re

from framecheck.reading._notation import Notation

DOLLAR = Notation(
    "dollar sign before each group",
    "$",
    re.compile(r"(?<![0-9A-Za-z_])\$(?=[0-9A-Fa-f]{2,16}(?![0-9A-Za-z_]))"),
    "$02 $00 $5e $10 $00 $01 $02 $00 $5e $10 $00 $02 $08 $06",
    r"\$[0-9A-Fa-f]{2}[ ,]",
)
