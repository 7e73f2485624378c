"""Series in a table: options behind a code and a length, and one small table again and again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from framecheck.core.layer import (
    Column,
    Count,
    Cursor,
    Field,
    Got,
    Group,
    Words,
    counted,
    new,
    read_table,
    write_table,
)


class Option(NamedTuple):
    """What an option's number means: the standard's name and how its octets read."""

    name: str
    words: Words | None = None
    number: int = 0
    """Octets of the one number that its value is; a value of another size stays octets."""
    table: tuple[Column, ...] = ()
    """Columns of a value that has parts; read as one field when it is too short for them."""
    least: int = 0
    """Octets that the table needs."""


def options(
    prefix: str,
    count: Count | None,
    kinds: Mapping[int, Option],
    *,
    length_counts_all: bool,
    single: Iterable[int] = (0,),
    ends: Iterable[int] = (0,),
    runs: Iterable[int] = (),
    padding: str | None = "padding",
    code_bits: int = 8,
    length_bits: int = 8,
    unit: int = 1,
) -> Column:
    """A series of options: code, length, value, as IPv4, TCP and DHCP have them.

    ``count``: octets that the series may take (None: all that is left). ``length_counts_all``:
    whether the length counts code and length too. ``single``: codes without a length.
    ``ends``: codes behind which the rest is ``padding`` (None: the rest is left to others).
    ``runs``: single codes that stand in long rows; a row of them is one item with one field,
    named by the option. ``code_bits``, ``length_bits``: widths of both; they come to whole
    octets. ``unit``: octets that one of the length counts. A length that cannot be (less than
    code and length) ends the series and leaves the rest ``unparsed``; one that leads past the
    end keeps what there is.

    Fields: ``{prefix}`` (the code), ``{prefix}_length``, then one named by the option, else
    ``{prefix}_{code}``. Written from ``values[prefix]``: octets, or (code, octets) pairs.
    """
    lone, last, rows = frozenset(single), frozenset(ends), frozenset(runs)
    head_size = (code_bits + length_bits) // 8
    extra = head_size if length_counts_all else 0
    # A table of plain text, so that fields can travel between processes.
    say = {code: known.name.replace("_", " ") for code, known in kinds.items()}.get
    length_name = f"{prefix}_length"

    octetwise = code_bits == length_bits == 8

    def plain(cursor: Cursor) -> Group | None:
        """One option as nearly all are: code and length in an octet each, a value without parts,
        and all of it there; None for any other, which ``item`` reads.
        """
        at, data = cursor.at, cursor.octets
        first = at >> 3
        if not octetwise or at + 16 > cursor.stop:
            return None
        code, length = data[first], data[first + 1]
        known, size = kinds.get(code), length * unit - extra
        stop = at + 16 + size * 8
        if known is None or known.table or code in lone or size < 0 or stop > cursor.stop:
            return None
        cursor.at = stop
        head = new(Field, (prefix, at, at + 8, code, 8, say))
        counts = new(Field, (length_name, at + 8, at + 16, length, 8, None))
        if not size:
            return new(Group, (code, known.name, (head, counts), 0))
        octets, words = data[first + 2 : first + 2 + size], known.words
        value: int | bytes = octets
        if known.number == size:
            value = int.from_bytes(octets, "big")
        elif known.number:
            words = None
        field = new(Field, (known.name, at + 16, stop, value, size * 8, words))
        return new(Group, (code, known.name, (head, counts, field), 0))

    def item(cursor: Cursor) -> tuple[Group, bool]:
        """One option, and whether another can follow it."""
        head = cursor.uint(prefix, code_bits, say)
        if head.value is None:
            return Group(0, prefix, (head,), 1), False
        code = head.number
        known = kinds.get(code) or Option(f"{prefix}_{code}")
        if code in lone:
            return Group(code, known.name, (head,)), code not in last
        length = cursor.uint(length_name, length_bits)
        if length.value is None:
            there = (head, length) if length.stop > length.start else (head,)
            return Group(code, known.name, there, 1), False
        claimed = length.number * unit
        size = max(0, claimed - extra)
        fields = [head, length, *_option_value(cursor, known, size)]
        missing = size - (cursor.at - length.stop) // 8
        return Group(code, known.name, tuple(fields), missing), (
            claimed >= extra and code not in last
        )

    def read(cursor: Cursor, got: Got) -> tuple[Sequence[Field], Sequence[Group]]:
        limit = cursor.stop
        if count is not None:
            cursor.stop = min(limit, cursor.at + counted(count, got) * 8)
        groups: list[Group] = []
        fields: list[Field] = []
        more = True
        while more and cursor.at < cursor.stop:
            code = cursor.octets[cursor.at >> 3]
            if code in rows:
                group = _row(cursor, code, (kinds.get(code) or Option(prefix)).name)
            elif (quick := plain(cursor)) is not None:
                group, more = quick, code not in last
            else:
                group, more = item(cursor)
            groups.append(group)
            fields += group.fields
        if cursor.left:
            rest = padding if groups and groups[-1].code in last else "unparsed"
            if rest is not None:
                fields.append(cursor.raw(rest, cursor.left // 8))
        cursor.stop = limit
        return fields, groups

    def one(code: int, data: bytes) -> bytes:
        if code in lone:
            return code.to_bytes(code_bits // 8, "big")
        length = -(-(len(data) + extra) // unit)
        head = code << length_bits | length & ((1 << length_bits) - 1)
        return head.to_bytes(head_size, "big") + data.ljust(length * unit - extra, b"\0")

    def write(values: Mapping[str, Any]) -> tuple[int, int]:
        given = values.get(prefix, b"")
        if not isinstance(given, bytes):
            given = b"".join(one(code, data) for code, data in given)
        whole = given + (bytes(values.get(padding, b"")) if padding is not None else b"")
        return int.from_bytes(whole, "big"), len(whole) * 8

    return Column(prefix, read, write, True)


def _option_value(cursor: Cursor, known: Option, size: int) -> Sequence[Field]:
    """The fields of an option's value, none when nothing of it is there."""
    there = min(size * 8, cursor.left)
    if not there:
        return ()
    if known.table and size >= known.least and there == size * 8:
        limit, cursor.stop = cursor.stop, cursor.at + there
        parts, _ = read_table(cursor, known.table, {})
        if cursor.left:
            parts.append(cursor.raw("unparsed", cursor.left // 8))
        cursor.stop = limit
        return parts
    if not known.number:
        return (cursor.raw(known.name, size, known.words),)
    if size == known.number and there == size * 8:
        return (cursor.uint(known.name, there, known.words),)
    return (cursor.raw(known.name, size),)


def _row(cursor: Cursor, code: int, name: str) -> Group:
    """A row of one and the same single-octet option, as one item."""
    at = cursor.at >> 3
    rest = cursor.octets[at : cursor.stop >> 3]
    return Group(code, name, (cursor.raw(name, len(rest) - len(rest.lstrip(bytes((code,))))),))


def repeat(name: str, count: Count | None, table: tuple[Column, ...]) -> Column:
    """One table again and again: ``count`` times, None for as long as octets are left.

    Each time is one item; its code is its first field when that is a number. What a count refers
    to inside ``table`` are fields of the same item. Written from ``values[name]``: octets, or a
    list of mappings.
    """

    def read(cursor: Cursor, got: Got) -> tuple[Sequence[Field], Sequence[Group]]:
        most = None if count is None else counted(count, got)
        groups: list[Group] = []
        while cursor.left and (most is None or len(groups) < most):
            fields, _ = read_table(cursor, table, {})
            if not fields:
                break
            code = fields[0].value
            missing = sum(f.wanted - (f.stop - f.start) for f in fields) // 8
            groups.append(Group(code if isinstance(code, int) else 0, name, tuple(fields), missing))
        return [f for group in groups for f in group.fields], groups

    def write(values: Mapping[str, Any]) -> tuple[int, int]:
        given = values.get(name, b"")
        if isinstance(given, bytes):
            return int.from_bytes(given, "big"), len(given) * 8
        number, bits = 0, 0
        for item in given:
            value, width = write_table(table, item)
            number, bits = number << width | value, bits + width
        return number, bits

    return Column(name, read, write, True)
