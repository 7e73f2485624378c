r"""``\x02\x00\x5e``: groups behind the mark of a string's hex escape."""

import re

from framecheck.reading._notation import Notation

ESCAPED = Notation(
    "backslash and x before each octet",
    "\\x",
    re.compile(r"(?i:(?<=[0-9a-f]{2})|(?<![0-9a-z_])b?[\"']|(?<![0-9a-z_]))\\x(?=[0-9A-Fa-f]{2})"),
    r"\x02\x00\x5e\x10\x00\x01\x02\x00\x5e\x10\x00\x02\x08\x06",
    r"\\x[0-9A-Fa-f]{2}",
)
