"""Tables made ready for reading: columns whose widths never change are read in one go.

Most of a header is such a stretch, and one ``unpack`` costs less than a step for each field. What
is read is the same field for field, and where the frame ends within a stretch, its columns stand
for themselves.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from struct import Struct

from framecheck.core.layer import (
    Column,
    Cursor,
    Field,
    Got,
    Group,
    Words,
    new,
    read_table,
    write_table,
)

_CODES = {8: "B", 16: "H", 32: "I", 64: "Q"}
"""How ``struct`` names numbers of so many bits."""
_Part = tuple[str, int, int, int, int, int, int, Words | None]
"""Name, first and last bit in the stretch, word, shift and mask in it (mask 0: all of it), width,
words."""


def joined(table: Sequence[Column]) -> tuple[Column, ...]:
    """The same table, its stretches of columns of fixed widths joined to one column each.

    Numbers that are no octets of their own (flags) are joined to a word with those beside them.
    """
    found: list[Column] = []
    words: list[list[Column]] = []
    begun: list[Column] = []
    """Columns of a word that does not end yet."""
    for column in (*table, None):
        fixed = column.fixed if column is not None else None
        if column is not None and fixed is not None and (fixed.number or not begun):
            begun.append(column)
            if not fixed.number or _bits(begun) in _CODES:
                words.append(begun)
                begun = []
        else:
            found += [_stretch(words)] if len(words) > 1 else (c for w in words for c in w)
            found += begun if column is None else (*begun, column)
            words, begun = [], []
    return tuple(found)


def _bits(columns: Sequence[Column]) -> int:
    return sum(c.fixed.bits for c in columns if c.fixed is not None)


def _stretch(words: Sequence[Sequence[Column]]) -> Column:
    """Words side by side as one column."""
    columns = [c for word in words for c in word]
    codes, at = ">", 0
    parts: list[_Part] = []
    for place, word in enumerate(words):
        stop = at + _bits(word)
        for column in word:
            assert column.fixed is not None
            bits, say, number = column.fixed
            mask = (1 << bits) - 1 if len(word) > 1 else 0
            end = at + bits
            parts.append((column.name, at, end, place, stop - end, mask, bits, say))
            at = end
        codes += _CODES[_bits(word)] if number else f"{bits // 8}s"
    unpack, size = Struct(codes).unpack_from, at

    def read(cursor: Cursor, got: Got) -> tuple[Sequence[Field], Sequence[Group]]:
        start = cursor.at
        if start & 7 or start + size > cursor.stop:
            return read_table(cursor, columns, got)
        cursor.at = start + size
        there = unpack(cursor.octets, start >> 3)
        fields: list[Field] = []
        for name, first, stop, place, shift, mask, bits, say in parts:
            value = there[place] >> shift & mask if mask else there[place]
            field = new(Field, (name, start + first, start + stop, value, bits, say))
            fields.append(field)
            got.setdefault(name, field)
        return fields, ()

    return Column("", read, partial(write_table, columns), False, lambda cursor, got: columns)
