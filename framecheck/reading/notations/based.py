"""``8'h02`` or ``16#02#``: groups with their base in front."""

import re

from framecheck.reading._notation import Notation

SIZED = Notation(
    "size and base before each group",
    "'h",
    re.compile(r"(?<![0-9A-Za-z_])\d{1,2}'[hH](?=[0-9A-Fa-f]{2})"),
    "8'h02, 8'h00, 8'h5e, 8'h10, 8'h00, 8'h01, 8'h02, 8'h00, 8'h5e, 8'h10, 8'h00, 8'h02, "
    "8'h08, 8'h06",
    r"\d'[hH][0-9A-Fa-f]{2}",
)
BASED = Notation(
    "base and number signs around each group",
    "16#",
    re.compile(
        r"(?<![0-9A-Za-z_])16#(?=[0-9A-Fa-f]{2,8}#)"
        r"|(?<=16#[0-9A-Fa-f]{2})#|(?<=16#[0-9A-Fa-f]{4})#|(?<=16#[0-9A-Fa-f]{8})#"
    ),
    "16#02#, 16#00#, 16#5E#, 16#10#, 16#00#, 16#01#, 16#02#, 16#00#, 16#5E#, 16#10#, 16#00#, "
    "16#02#, 16#08#, 16#06#",
    r"16#[0-9A-Fa-f]{2}",
)
