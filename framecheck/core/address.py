"""``--buffer-address``: where the first octet of a received frame lies in memory."""

from __future__ import annotations

import re

from framecheck.core.problem import Problem
from framecheck.core.quote import quote

_HEX = re.compile(r"0[xX][0-9a-fA-F]{1,16}")
_DECIMAL = re.compile(r"[0-9]{1,20}")
_LARGEST = 1 << 64


def address(text: str | None) -> int | None:
    """The address, hex with 0x or decimal, up to 64 bits; None without one.

    Raises Problem, one clear line, for anything else.
    """
    if text is None:
        return None
    value = -1
    if _HEX.fullmatch(text):
        value = int(text, 16)
    elif _DECIMAL.fullmatch(text):
        value = int(text)
    if not 0 <= value < _LARGEST:
        raise Problem(
            f"--buffer-address: {quote(text) or 'nothing'} is no address; give where octet 0 of a "
            "frame lies in memory, as in 0x20001002"
        )
    return value
