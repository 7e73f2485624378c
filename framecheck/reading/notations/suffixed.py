"""``02h 00h``: groups with the h that some assemblers put behind hex constants."""

import re

from framecheck.reading._notation import Notation

SUFFIXED = Notation(
    "h behind each group",
    "h",
    # The zero that makes a number of letters is no digit of octets; of an offset it is one.
    re.compile(
        r"(?<=[0-9A-Fa-f]{2})[hH](?![0-9A-Za-z_])"
        r"|(?<![0-9A-Za-z_])0(?=[0-9A-Fa-f]{2}[hH](?![0-9A-Za-z_]|[ \t]*[|:>=]))"
    ),
    "02h 00h 5Eh 10h 00h 01h 02h 00h 5Eh 10h 00h 02h 08h 06h",
    r"(?:[0-9A-Fa-f]{2}[hH][ ,]+){2}",
    varies=True,
)
