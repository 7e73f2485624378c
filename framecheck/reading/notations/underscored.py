"""``02_00_5e_10``: groups that an underscore separates."""

import re

from framecheck.reading._notation import Notation

UNDERSCORED = Notation(
    "underscores between groups",
    "_",
    re.compile(r"(?<=[0-9A-Fa-f]{2})_(?=[0-9A-Fa-f]{2}(?:_|[0-9A-Fa-f]*(?![0-9A-Za-z])))"),
    "02_00_5e_10_00_01_02_00_5e_10_00_02_08_06",
    r"(?:_[0-9A-Fa-f]{2,16}){3}",
)
