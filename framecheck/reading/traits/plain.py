"""What a screen shows beside plain characters: blanks of other widths, boxes, cursor moves."""

from __future__ import annotations

import re

_BOX = re.compile("(?:^|(?<=[ \\t]))[\u2502\u2503\u2551\u2506\u250a\u254e](?=[ \\t]|$)")
"""Lines of a drawn box, alone between blanks; a character column has such signs, too."""
_BLANKS = str.maketrans(dict.fromkeys("\u00a0\u2007\u2009\u202f\u3000", " "))

PLACED = re.compile(r"\x1b\[(\d*)(?:;\d*)?[Hf]|\x1b\[\d*[EF]")
"""What puts the cursor into another row, whose number it gives, or elsewhere in this one."""


def plain(text: str) -> str:
    """The text, as long as it is, with blanks as blanks and such lines as bars."""
    return text if text.isascii() else _BOX.sub("|", text.translate(_BLANKS))
