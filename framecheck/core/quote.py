"""The one way by which characters from a log reach a terminal, a report or an error line.

A console log is hostile input: it may hold terminal escapes, characters that reverse or hide
text, or markup. ``quote`` turns all but plain, visible characters into words for them.
"""

from __future__ import annotations

import unicodedata

# Cc control, Cf format (right-to-left marks, zero-width), Cs surrogate, Co private, Cn unassigned,
# Zl/Zp line and paragraph separators: none of them may act on whoever reads the report.
_HIDDEN = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}


def quote(text: str, limit: int = 200) -> str:
    """``text`` with each character that could act or hide written as ``\\xNN`` or ``\\uNNNN``.

    ``limit``: longest result in characters of input; what is left out is counted at the end.
    """
    shown = text[:limit]
    if not (shown.isascii() and shown.isprintable()):
        shown = "".join(c if _plain(c) else _escaped(c) for c in shown)
    return shown if len(text) <= limit else f"{shown}… ({len(text) - limit} more characters)"


def _plain(c: str) -> bool:
    return c == " " or (unicodedata.category(c) not in _HIDDEN and not c.isspace())


def _escaped(c: str) -> str:
    n = ord(c)
    return f"\\x{n:02x}" if n < 0x100 else f"\\u{n:04x}" if n < 0x10000 else f"\\U{n:08x}"
