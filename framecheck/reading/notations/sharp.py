"""``#x02 #x00``: groups with the mark that some languages give hex constants."""

import re

from framecheck.reading._notation import Notation

SHARP = Notation(
    "#x before each group",
    "#",
    re.compile(r"(?<![0-9A-Za-z_])#[xX](?=[0-9A-Fa-f]{2,16}(?![0-9A-Za-z_]))"),
    "#x02 #x00 #x5e #x10 #x00 #x01 #x02 #x00 #x5e #x10 #x00 #x02 #x08 #x06",
    r"#[xX][0-9A-Fa-f]{2}[ ,]",
)
