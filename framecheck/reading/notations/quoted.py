"""``x"02", x"00"``: groups as the hex strings of a hardware description."""

import re

from framecheck.reading._notation import Notation

QUOTED = Notation(
    "x and quotes around each group",
    'x"',
    re.compile(r"(?<![0-9A-Za-z_])[xX]\"(?=[0-9A-Fa-f]+\")|(?<=[0-9A-Fa-f])\"(?=[\s,;)]|$)"),
    'x"02", x"00", x"5e", x"10", x"00", x"01", x"02", x"00", x"5e", x"10", x"00", x"02", x"08", x"06"',  # noqa: E501
    r"[xX]\"[0-9A-Fa-f]",
)
