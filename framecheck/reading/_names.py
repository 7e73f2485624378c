"""Names of an octet in front of it: ``NUL 00``, ``'\\\\x00'  00``, ``... ff``.

The names of the control characters are those of ISO/IEC 646 (the same as ECMA-6), from memory, as
are C's escapes. A name counts only where the octet behind it is the one that it names.
"""

from __future__ import annotations

import re

_WORDS = (
    "NUL SOH STX ETX EOT ENQ ACK BEL BS HT LF VT FF CR SO SI DLE DC1 DC2 DC3 DC4 NAK SYN ETB CAN EM"
    " SUB ESC FS GS RS US SP"
)
_NAMES = {name: octet for octet, name in enumerate(_WORDS.split())} | {
    "DEL": 127, "TAB": 9, "NL": 10, "FF": 12, "NP": 12, "SPC": 32, "SPACE": 32
}  # fmt: skip
_ESCAPES = dict(zip("abtnvfre", (7, 8, 9, 10, 11, 12, 13, 27), strict=True))
_CODE = r"x(?P<hex>[0-9A-Fa-f]{1,2})|(?P<octal>[0-7]{1,3})"
_NAME = re.compile(
    r"(?<![^\s:=|(\[,])(?:\^?(?P<name>[A-Za-z]{2,5}[1-4]?)"
    rf"|(?P<quote>['\"])(?:\\(?:{_CODE}|(?P<letter>[^x0-7]))|(?P<quoted>.))(?P=quote)"
    rf"|\\(?:{_CODE.replace('>', '2>')}|(?P<letter2>[abtnvfre]))"
    r"|(?P<none>\.{1,3}|-{2,3}|~)|(?P<character>[!-~]))"
    r"(?=[:,|)\]]?[ \t]+(?:0[xX])?(?P<octet>[0-9A-Fa-f]{2})(?![0-9A-Za-z_]))"
)
_ALMOST = re.compile(
    r"\s*(?:\S{1,10}[ \t]+){0,2}\S{0,8}(?<![G-Zg-z])[0-9A-Fa-f]{1,3}[hH]?\s*"
).fullmatch
_PRINTED = range(33, 127)


def is_named(text: str) -> bool:
    """Whether an octet of a line has a name in front of it that is more than its character."""
    return any(_fits(m) and m["character"] is None for m in _NAME.finditer(text))


def is_almost_named(text: str) -> bool:
    """Whether a line is an octet and its name, or what the console left of the two."""
    return _ALMOST(text) is not None


def unnamed(text: str) -> str:
    """The line with blanks in the place of names of octets, and of their characters."""
    return _NAME.sub(lambda m: " " * len(m[0]) if _fits(m) else m[0], text)


def _fits(m: re.Match[str]) -> bool:
    """Whether the octet behind a name is the one that it names."""
    octet = int(m["octet"], 16)
    if m["none"] is not None:
        return octet not in _PRINTED or m["none"] == chr(octet)
    if m["name"] is not None:
        return _NAMES.get(m["name"].upper()) == octet
    code, octal = m["hex"] or m["hex2"], m["octal"] or m["octal2"]
    if code or octal:
        return int(code or octal, 16 if code else 8) == octet
    letter = m["letter"] or m["letter2"]
    named = _ESCAPES.get(letter, ord(letter)) if letter else ord(m["quoted"] or m["character"])
    return named == octet
