"""``47 'G'  45 'E'``: each octet with its character behind it, between two marks."""

import re

from framecheck.reading._notation import Notation

_CHARACTER = r"[ ]{0,2}(?:'.'|\".\"|\(.\)|\[.\]|<.>)"
_PAIR = "[0-9A-Fa-f]{2}"

NAMED = Notation(
    "its character behind each octet",
    "",
    re.compile(rf"(?<={_PAIR}){_CHARACTER}(?=[ \t,;]+{_PAIR}{_CHARACTER}|[ \t,;]*$)"),
    "02 '.'  00 '.'  5e '^'  10 '.'  00 '.'  01 '.'  02 '.'  00 '.'  5e '^'  10 '.'  00 '.'  "
    "02 '.'  08 '.'  06 '.'",
    rf"(?:(?<![0-9A-Za-z_]){_PAIR}{_CHARACTER}[ ,;]+){{2}}",
    varies=True,
)
