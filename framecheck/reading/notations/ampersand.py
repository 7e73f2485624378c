"""``&H02, &H00``: groups with the mark that some languages give hex constants."""

import re

from framecheck.reading._notation import Notation

AMPERSAND = Notation(
    "&H before each group",
    "&",
    re.compile(r"(?<![0-9A-Za-z_])&[hH](?=[0-9A-Fa-f]{2,16}(?![0-9A-Za-z_]))"),
    "&H02, &H00, &H5E, &H10, &H00, &H01, &H02, &H00, &H5E, &H10, &H00, &H02, &H08, &H06",
    r"&[hH][0-9A-Fa-f]{2}[ ,]",
)
