"""``02_00_5e_10``: groups that an underscore separates."""

import re

from framecheck.reading._notation import Notation

_PAIR = "[0-9A-Fa-f]{2}"
_BEHIND = "|".join(f"(?<=_{_PAIR * n})" for n in (1, 2, 3, 4, 8))

UNDERSCORED = Notation(
    "underscores between groups",
    "_",
    # Two of them at least: one alone joins the halves of an address.
    re.compile(
        rf"(?<={_PAIR})_(?=(?:{_PAIR}){{1,8}}_{_PAIR})"
        rf"|(?:{_BEHIND})_(?={_PAIR}(?:_|[0-9A-Fa-f]*(?![0-9A-Za-z])))"
    ),
    "02_00_5e_10_00_01_02_00_5e_10_00_02_08_06",
    r"(?:_[0-9A-Fa-f]{2,16}){3}",
)
