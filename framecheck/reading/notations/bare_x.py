"""``x02 x00``: groups behind an x that has no zero in front."""

import re

from framecheck.reading._notation import Notation

BARE_X = Notation(
    "x before each group",
    "x",
    re.compile(r"(?<![0-9A-Za-z_\\'\"#&])[xX](?=[0-9A-Fa-f]{2,8}(?![0-9A-Za-z_]))"),
    "x02 x00 x5e x10 x00 x01 x02 x00 x5e x10 x00 x02 x08 x06",
    r"(?:(?<![0-9A-Za-z_])[xX][0-9A-Fa-f]{2,8}[ ,]+){2}",
)
