"""The gutter: a column of printable characters beside the octets.

It repeats the octets, so it can convict or clear the console, and it says where the octets of a
row end when its own characters look like digits.
"""

from __future__ import annotations

import re
from functools import cache
from html import unescape

from framecheck.reading._reading import Gutter

PRINTABLE = bytes(c if 32 <= c < 127 else 46 for c in range(256))
"""Translation of octets to the usual gutter: ``.`` for what has no printable character."""

_HEAD = re.compile(r"([ \t]*)([|:>*\[\](){}\"'<;#/]{0,3}[ \t]{0,3}[`'\"|]?)")
_CLOSED = re.compile(
    r"(?:[ \t]*[|\"'`\]*>:)}<\\]){0,3}[ \t]*(?:[ \t|\"'][=:#*/+][ \t]?[0-9A-Fa-f]{2,8})?[ \t]*"
)
"""What ends a gutter; a row's sum may stand behind it."""
_BEFORE = re.compile(r"[|\"'`\]*>:)}]{0,2}[ \t]*[|:>\-=]{0,2}[ \t]*")
_NEAR = 48
"""Characters between such a gutter and the octets, at the most."""
_FEWEST_BITS = 6.0
"""A gutter in front of the octets may be any word: it has to say more than one behind them."""


@cache
def _characters(other: str) -> dict[int, str]:
    """Translation of octets to a gutter with another sign for what has no character."""
    return {c: other for c in range(256) if not 32 <= c < 127}


def rendered(octets: bytes, gaps: tuple[int, ...] = (), other: str = ".") -> str:
    """The gutter that these octets should have."""
    if other in ("", "."):
        text = octets.translate(PRINTABLE).decode("latin-1")
    else:
        text = octets.decode("latin-1").translate(_characters(other))
    for at in reversed(gaps):
        if at < len(text):
            text = text[:at] + " " + text[at:]
    return text


def judge(octets: bytes, rest: str, other: str = "") -> Gutter | None:
    """What the text behind the octets says of them, if it is a gutter at all.

    ``other``: what stands in the rows before for an octet without a printable character.
    """
    if "&" in rest and ";" in rest and len(rest) <= 8 * len(octets) + 64:
        rest = unescape(rest)  # a page's source has its own signs for some characters
    bare = rest.strip()
    n = len(octets)
    if (
        not bare
        or (not rest[0].isspace() and rest[0] not in "|:;>[]})'\"")
        or len(bare) > 2 * n + 12
    ):
        return None
    m = _HEAD.match(rest)
    edge = m.end() if m else 0
    first = m.end(1) if m else 0
    best: Gutter | None = None
    apart = (tuple(range(1, n)),) if len(bare) >= n + n // 2 > 1 else ()
    for gaps in (*_gap_forms(n), *apart):
        for start in range(max(1, first - n), edge + 1):
            if start < first and 33 <= octets[0] < 127 and rest[start] == " ":
                # A blank that stands in front can only belong to an octet that prints as one.
                continue
            found = _compare(octets, rest, start, gaps, other)
            if found and (best is None or found.bits > best.bits):
                best = found
        if best and not best.wrong:
            break
    return best


def _gap_forms(n: int) -> tuple[tuple[int, ...], ...]:
    forms: list[tuple[int, ...]] = [()]
    for step in (8, 4, 16, n // 2):
        if n > step > 3:
            forms.append(tuple(range(step, n, step)))
    return tuple(forms)


def before(octets: bytes, lead: str) -> tuple[int, int] | None:
    """Where in the text in front of the octets their gutter stands, if there is one."""
    n = len(octets)
    if n < 4 or len(lead) < n:
        return None
    last = len(lead)
    near = max(0, last - _NEAR)
    m = re.search(r"[|\"'`\]*>:)}=\- \t]*$", lead[near:])
    first = max(n, near + (m.start() if m else last - near) - 1)
    best: tuple[float, int, int] | None = None
    for stop in range(last, first - 1, -1):
        if not _BEFORE.fullmatch(lead[stop:]):
            continue
        for gaps in ((), (n // 2,)):
            start = stop - n - len(gaps)
            if start < 0 or (start and lead[start - 1].isalnum()):
                continue
            found = _compare(octets, lead[:stop], start, gaps)
            if found and not found.wrong and (best is None or found.bits > best[0]):
                best = found.bits, start, stop
    if best is None or best[0] < _FEWEST_BITS:
        return None
    return best[1], best[2]


def _compare(
    octets: bytes, rest: str, start: int, gaps: tuple[int, ...], other: str = ""
) -> Gutter | None:
    """The gutter that begins at ``start`` of the rest, or None when it is none."""
    n = len(octets)
    holes = [g + i for i, g in enumerate(gaps)]
    text = rest[start : start + n + len(gaps)]
    holes = [h for h in holes if h < len(text)]
    if any(text[h] != " " for h in holes):
        return None
    closing = rest[start + n + len(holes) :]
    for h in reversed(holes):
        text = text[:h] + text[h + 1 :]
    text = text[:n]
    if not _CLOSED.fullmatch(closing):
        return None
    expected = rendered(octets)
    if text == expected:
        plain = sum(1 for o in octets if 33 <= o < 127)
        shown = "" if all(32 <= o < 127 for o in octets) else "."
        return Gutter(rest[:start], closing, gaps, shown, (), 2.5 * plain + 0.8 * (n - plain))
    good = neutral = 0.0
    wrong: list[int] = []
    others: dict[str, int] = {}
    for k, o in enumerate(octets):
        if k >= len(text):
            break
        c = text[k]
        if 33 <= o < 127:
            if c == chr(o):
                good += 1
            else:
                wrong.append(k)
        elif o == 32:
            if c in " ._~" or not c.isascii():
                neutral += 1
            else:
                wrong.append(k)
        elif c.isascii() and (c.isalnum() or not c.isprintable()):
            wrong.append(k)
        else:
            others[c] = others.get(c, 0) + 1
    other = other or (max(others, key=others.__getitem__) if others else "")
    for k, o in enumerate(octets[: len(text)]):
        if not 32 <= o < 127 and text[k] != other and text[k] not in ". ":
            if text[k].isascii() and k not in wrong:
                wrong.append(k)
            elif not text[k].isascii():
                neutral += 0.5
        elif not 32 <= o < 127:
            neutral += 0.8 if text[k] == "." else 0.3
    missing = n - len(text)
    if missing and any(o != 32 for o in octets[len(text) :]) and len(text) < 4:
        return None
    if len(wrong) > max(1, n // 4) or (wrong and good + neutral < 3 * len(wrong)):
        return None
    bits = 2.5 * good + neutral - 5.0 * len(wrong) - 2.0 * min(missing, 3)
    if bits < 1.5:
        return None
    return Gutter(rest[:start], closing, gaps, other, tuple(sorted(wrong)), bits)
