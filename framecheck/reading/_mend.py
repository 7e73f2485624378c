"""Rows that the console broke: what is left of them, without shifting a single octet in silence.

A lost or doubled character damages one group; the groups beside it stand. What the remaining
digits and the gutter prove is put back, and is doubtful all the same; what nothing proves stays
as printed, and is said.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from framecheck.core.frame import BROKEN_DIGITS, Doubt
from framecheck.reading._shape import Shape, Taken
from framecheck.reading.traits.gutter import PRINTABLE, judge

_WORD = re.compile(r"[^\s:,;|\-]+")
_HEX = re.compile(r"[0-9A-Fa-f]+")


class Mended(NamedTuple):
    """A broken row: what was read, and what is not sure."""

    taken: Taken
    doubtful: tuple[int, ...]
    """Octets of the row that the console broke, or may have."""
    doubts: tuple[Doubt, ...]
    missing: int
    """Octets of the row that are not there at all."""


class _Cell(NamedTuple):
    """The octets of one group, and how much of it is sure."""

    octets: list[int]
    columns: list[int]
    ends: list[int]
    sure: bool


def cut_row(shape: Shape, text: str, expected: int | None) -> tuple[Taken, int] | None:
    """The whole octets of a row that the end of the log cuts, and the odd digits left out."""
    found = shape.body(text, expected)
    if found is None or shape.group == 0 or shape.little:
        return None
    value, start, _ = found
    cells = _cells(shape, text, start, len(text))
    if not cells or not all(c.sure for c in cells[:-1]) or cells[-1].ends[-1] - 1 != len(text):
        return None
    last = cells.pop()
    whole = (last.ends[-1] - last.columns[0]) // 2
    odd = (last.ends[-1] - last.columns[0]) % 2
    columns = [c for cell in cells for c in cell.columns]
    columns += [last.columns[0] + 2 * k for k in range(whole)]
    if not columns or len(columns) > shape.per_row:
        return None
    try:
        octets = bytes([int(text[c - 1 : c + 1], 16) for c in columns])
    except ValueError:
        return None
    return Taken(value, octets, tuple(columns), tuple([c + 2 for c in columns]), None, False), odd


def mend(shape: Shape, text: str, expected: int | None, number: int) -> Mended | None:
    """Read a line that is almost a row of this shape; None when it is not even that."""
    found = shape.body(text, expected)
    if found is None or shape.group == 0:
        return None
    value, start, offset_broken = found
    stop = _data_stop(shape, text, start)
    cells = _cells(shape, text, start, stop)
    if not cells:
        return None
    good = sum(1 for c in cells if c.sure)
    if good < max(1, (len(cells) + 1) // 2) or (not shape.offset and good < 4):
        return None
    octets = bytes([o for c in cells for o in c.octets])
    rest = text[stop:]
    characters = _gutter_characters(shape, rest)
    gutter_at = stop + (rest.find(characters) if characters else 0)
    columns = [c for cell in cells for c in cell.columns]
    ends = [e for cell in cells for e in cell.ends]
    doubtful: list[int] = []
    healed: list[int] = []
    values = bytearray(octets)
    at = 0
    complete = len(octets) == shape.per_row
    for cell in cells:
        if not cell.sure:
            for k in range(at, at + len(cell.octets)):
                doubtful.append(k)
                proof = _proved(characters, k) if complete else None
                digits = text[cell.columns[k - at] - 1 : cell.ends[k - at] - 1].lower()
                if proof is not None and _could_be(digits, proof):
                    values[k] = proof
                    healed.append(k)
                    # It stands where the character stands that proved it.
                    columns[k] = gutter_at + k + 1
                    ends[k] = columns[k] + 1
        at += len(cell.octets)
    missing = max(0, shape.per_row - len(octets)) if characters is None or not complete else 0
    if characters is not None and not complete and len(characters) <= len(octets):
        missing = 0
    gutter = judge(bytes(values), rest) if shape.gutter else None
    if gutter:
        doubtful.extend(k for k in gutter.wrong if k not in doubtful)
    taken = Taken(
        value,
        bytes(values),
        tuple(columns),
        tuple(ends),
        gutter._replace(wrong=()) if gutter else None,
        gutter is not None,
    )
    doubts = _doubts(set(doubtful), set(healed), missing, offset_broken, number)
    if not doubts:
        doubts = (
            Doubt("a row out of shape", "as printed", "a row broken by the console", True, number),
        )
    return Mended(taken, tuple(sorted(set(doubtful))), doubts, missing)


def _doubts(
    doubtful: set[int], healed: set[int], missing: int, offset_broken: bool, number: int
) -> tuple[Doubt, ...]:
    doubts: list[Doubt] = []
    if healed:
        doubts.append(
            Doubt(
                BROKEN_DIGITS,
                f"{len(healed)} put back, which the gutter proves",
                "the digits that are left",
                False,
                number,
            )
        )
    left = doubtful - healed
    if left:
        doubts.append(
            Doubt(
                BROKEN_DIGITS,
                f"{len(left)} octets with the digits that are left",
                "octets whose digits the console lost or doubled",
                True,
                number,
            )
        )
    if missing:
        doubts.append(
            Doubt(
                "lost octets",
                f"{missing} octets of the row left out",
                "a row that was shorter",
                True,
                number,
            )
        )
    if offset_broken:
        doubts.append(
            Doubt("offset column", "broken by the console", "another dump's row", False, number)
        )
    return tuple(doubts)


def _data_stop(shape: Shape, text: str, start: int) -> int:
    """Where the digits end: in front of the gutter, if the shape has one."""
    if shape.gutter is None:
        return len(text.rstrip())
    opening = shape.opening
    near = start + shape.width(shape.per_row)
    if opening.strip():
        # A bar: the one nearest to its column.
        places = [m.start() for m in re.finditer(re.escape(opening.strip()), text[start:])]
        if places:
            return start + min(places, key=lambda p: abs(start + p - near - len(opening)))
        return len(text.rstrip())
    places = [
        m.start() for m in re.finditer(re.escape(opening) + r"(?=\S)", text[start:]) if m.start()
    ]
    places = [p for p in places if abs(start + p - near) <= 2]
    if places:
        return start + min(places, key=lambda p: abs(start + p - near))
    return min(len(text), near)


def _gutter_characters(shape: Shape, rest: str) -> str | None:
    if shape.gutter is None or shape.gutter.gaps:
        return None
    text = rest.lstrip(" \t") if not shape.opening.strip() else rest
    bar = shape.opening.strip()
    if bar:
        at = text.find(bar)
        if at < 0:
            return None
        text = text[at + len(shape.opening.lstrip()) :]
    closing = shape.closing.strip()
    if closing and text.rstrip().endswith(closing):
        text = text.rstrip()[: -len(closing)]
    return text


def _proved(characters: str | None, k: int) -> int | None:
    if characters is None or k >= len(characters):
        return None
    code = ord(characters[k])
    return code if 33 <= code < 127 and code != PRINTABLE[0] else None


def _could_be(digits: str, value: int) -> bool:
    """Whether digits that are left or one too many can come from this octet's two."""
    true = f"{value:02x}"
    if len(digits) == 1:
        return digits in true
    if len(digits) == 3:
        return any(digits[:i] + digits[i + 1 :] == true for i in range(3))
    return sum(a == b for a, b in zip(digits, true, strict=False)) == 1


def _cells(shape: Shape, text: str, start: int, stop: int) -> list[_Cell]:
    size = shape.group * 2
    cells: list[_Cell] = []
    words = list(_WORD.finditer(text[start:stop]))
    if len(words) > 2 * shape.per_row + 8:
        return []
    for index, m in enumerate(words):
        word, at = m[0], start + m.start() + 1
        if word[:2] in ("0x", "0X"):
            word, at = word[2:], at + 2
        last = index == len(words) - 1
        if (_HEX.fullmatch(word) and len(word) == size) or (
            _HEX.fullmatch(word) and last and len(word) < size and len(word) % 2 == 0
        ):
            cells.append(_cell(word, at, True, shape.little))
        elif _HEX.fullmatch(word) and len(word) == 2 * size:
            # Two groups run together: the blank between them is what was lost.
            cells.append(_cell(word[:size], at, True, shape.little))
            cells.append(_cell(word[size:], at + size, True, shape.little))
        elif len(word) <= size + 1 and len(_HEX.sub("", word)) <= 1 and _HEX.search(word):
            cells.append(_broken(word, at, size, shape.little))
        else:
            break
    return cells


def _cell(word: str, at: int, sure: bool, little: bool) -> _Cell:
    columns = list(range(at, at + len(word), 2))
    octets = list(bytes.fromhex(word))
    if little:
        columns.reverse()
        octets.reverse()
    return _Cell(octets, columns, [c + 2 for c in columns], sure)


def _broken(word: str, at: int, size: int, little: bool) -> _Cell:
    """A group with a digit lost, doubled or foreign: as many octets, each with a place."""
    octets: list[int] = []
    columns: list[int] = []
    ends: list[int] = []
    if len(word) == size + 1:
        for i in range(1, len(word)):
            if word[i] == word[i - 1] and _HEX.fullmatch(word):
                # Of a doubled character it does not matter which one goes.
                kept = word[:i] + word[i + 1 :]
                octets = list(bytes.fromhex(kept))
                break
    step = 0
    for k in range(size // 2):
        remaining_octets = size // 2 - k
        take = min(2, len(word) - step) if remaining_octets > 1 else len(word) - step
        if take <= 0:
            columns.append(columns[-1])
            ends.append(ends[-1])
            if len(octets) <= k:
                octets.append(0)
            continue
        part = word[step : step + take]
        columns.append(at + step)
        ends.append(at + step + take)
        step += take
        if len(octets) <= k:
            digits = "".join(c for c in part if _HEX.fullmatch(c))[:2]
            octets.append(int(digits or "0", 16))
    if little:
        octets.reverse()
        columns.reverse()
        ends.reverse()
    for k, (a, b) in enumerate(zip(columns, ends, strict=True)):
        found = _HEX.search(word, a - at, b - at)
        if found:
            columns[k], ends[k] = at + found.start(), at + found.end()
    return _Cell(octets, columns, ends, False)
