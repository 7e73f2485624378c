"""Layers: fields read from octets by a table, and octets written from the same table.

One ``LayerKind`` a protocol declares, column by column, what stands on the wire. ``decode`` reads
any octets at all: a field that the end cuts off stays, with the bits it has and the bits it
wanted. The fields of a layer join bit for bit from its start to its stop (its header); what
follows belongs to the next layer, to ``payload`` or to ``padding``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import partial
from typing import Any, NamedTuple

from framecheck.core.finding import Source
from framecheck.core.span import Range, Span

Value = int | bytes | None
"""A field's raw value: a number, octets, or None when the frame ends inside a number."""

Words = Callable[[Any], str | None]
"""How a person reads a value, or None when the number says it all."""


class Field(NamedTuple):
    """One value of a layer and the exact bits it came from."""

    name: str
    start: int
    """First bit, counted from the frame's first bit."""
    stop: int
    """Bit after the last one that is there."""
    value: Value
    wanted: int
    """Bits that the table asked for; more than ``stop - start`` when the end cuts it off."""
    words: Words | None = None

    @property
    def span(self) -> Span:
        """Where the field stands, in bits."""
        return Span(self.start, self.stop)

    @property
    def whole(self) -> bool:
        """Whether all the bits it wanted are there."""
        return self.stop - self.start == self.wanted

    @property
    def number(self) -> int:
        """The value as a number; 0 for octets that are not there.

        Raises TypeError for a number that the end cut off: ask ``whole`` first.
        """
        if isinstance(self.value, bytes):
            return int.from_bytes(self.value, "big")
        if self.value is None:
            raise TypeError(f"{self.name} is cut off")
        return self.value

    @property
    def raw(self) -> bytes:
        """The value as octets (numbers big-endian); empty for a number that is cut off."""
        if isinstance(self.value, bytes):
            return self.value
        return b"" if self.value is None else self.value.to_bytes(-(-self.wanted // 8), "big")

    @property
    def reads(self) -> str | None:
        """The value in words, or None."""
        return None if self.words is None or self.value is None else self.words(self.value)


new = tuple.__new__
"""Makes a named tuple of a tuple: a frame has some eighty, and a call by names costs twice that."""


class Group(NamedTuple):
    """One item of a series (an option, a DNS record): its code and its fields."""

    code: int
    name: str
    fields: tuple[Field, ...]
    missing: int = 0
    """Octets that its length claims and that are not there."""

    @property
    def start(self) -> int:
        """First bit."""
        return self.fields[0].start

    @property
    def stop(self) -> int:
        """Bit after the last."""
        return self.fields[-1].stop

    @property
    def span(self) -> Span:
        """Where the whole item stands, in bits."""
        return Span(self.start, self.stop)

    def get(self, name: str) -> Field | None:
        """The item's first field of that name, or None."""
        return next((f for f in self.fields if f.name == name), None)

    @property
    def length(self) -> Field | None:
        """The field that states the item's length, or None."""
        for f in self.fields:
            if f.name.endswith("_length"):
                return f
        return None

    @property
    def value(self) -> Field | None:
        """What stands behind code and length, or None when nothing does."""
        last = self.fields[-1]
        plain = len(self.fields) > 1 and not last.name.endswith("_length")
        return last if plain else None

    @property
    def data(self) -> bytes:
        """The octets behind code and length, joined; empty when there are none."""
        for i, f in enumerate(self.fields, 1):
            if f.name.endswith("_length"):
                rest = self.fields[i:]
                return rest[0].raw if len(rest) == 1 else rejoin(rest, b"")
        return b""

    @property
    def whole(self) -> bool:
        """Whether everything that the item claims is there."""
        # Fields stand one behind the other: what the end cuts off is the last.
        return not self.missing and self.fields[-1].whole


class Layer:
    """One protocol's header in a frame: fields that tile [start, stop), in bits."""

    __slots__ = ("_by_name", "fields", "groups", "kind", "limit", "quoted", "start", "stop")

    def __init__(
        self,
        kind: str,
        start: int,
        stop: int,
        limit: int,
        fields: tuple[Field, ...],
        groups: tuple[Group, ...] = (),
        quoted: bool = False,
        by_name: dict[str, Field] | None = None,
    ) -> None:
        self.kind = kind
        self.start = start
        self.stop = stop
        self.limit = limit
        """Bit behind the last that the layer below leaves to this one and what it carries."""
        self.fields = fields
        self.groups = groups
        self.quoted = quoted
        """Whether this is a copy inside an error message: cut short there, and not ours to sum."""
        if by_name is None:
            by_name = {}
            for f in fields:
                by_name.setdefault(f.name, f)
        self._by_name = by_name

    def __getitem__(self, name: str) -> Field:
        """The first field of that name. KeyError when the layer has none (cut off, or optional)."""
        return self._by_name[name]

    def get(self, name: str) -> Field | None:
        """The first field of that name, whole or cut off, or None."""
        return self._by_name.get(name)

    def whole(self, *names: str) -> bool:
        """Whether all these fields are there with all their bits."""
        for name in names:
            f = self._by_name.get(name)
            if f is None or f.stop - f.start != f.wanted:
                return False
        return True

    def number(self, name: str) -> int | None:
        """A field's value as a number, None when it is absent or cut off."""
        # Rules ask some hundred times a frame: the properties of the field are spelt out.
        f = self._by_name.get(name)
        if f is None or f.stop - f.start != f.wanted:
            return None
        value = f.value
        return value if value.__class__ is int else f.number

    def group(self, code: int) -> Group | None:
        """The first item of a series with this code, or None."""
        for g in self.groups:
            if g.code == code:
                return g
        return None

    @property
    def octets(self) -> Range:
        """The header's octets, half-open."""
        return self.start // 8, -(-self.stop // 8)

    @property
    def room(self) -> int:
        """Octets from the layer's start to the end of what the layer below leaves to it."""
        return (self.limit - self.start) // 8

    def __repr__(self) -> str:
        values = ", ".join(f"{f.name}={f.value!r}" for f in self.fields)
        return f"Layer({self.kind}, {self.octets}, {values})"


class Cursor:
    """Reads fields from ``octets`` between two bit positions; never leaves them."""

    __slots__ = ("at", "octets", "origin", "stop")

    def __init__(self, octets: bytes, start: int, stop: int) -> None:
        self.octets = octets
        self.at = start
        self.stop = min(stop, len(octets) * 8)
        self.origin = start
        """First bit of the layer (DNS names point back to octets counted from here)."""

    @property
    def left(self) -> int:
        """Bits left."""
        return max(0, self.stop - self.at)

    def uint(self, name: str, bits: int, words: Words | None = None) -> Field:
        """The next ``bits`` bits as a number, most significant first; value None if cut off."""
        start = self.at
        stop = start + bits
        if stop > self.stop:
            stop = max(start, self.stop)
            value = None
        else:
            a, b = start >> 3, (stop + 7) >> 3
            value = int.from_bytes(self.octets[a:b], "big")
            if (start | stop) & 7:
                value = value >> (b * 8 - stop) & ((1 << bits) - 1)
        self.at = stop
        return new(Field, (name, start, stop, value, bits, words))

    def raw(self, name: str, count: int, words: Words | None = None) -> Field:
        """The next ``count`` octets, or as many of them as there are. The cursor is on an octet."""
        start = self.at
        stop = min(start + max(0, count) * 8, max(start, self.stop))
        self.at = stop
        value = self.octets[start >> 3 : stop >> 3]
        return new(Field, (name, start, stop, value, max(0, count) * 8, words))


Got = dict[str, Field]
"""The fields read so far, by name; the first of each name."""


class Fixed(NamedTuple):
    """What a column takes wherever it stands."""

    bits: int
    words: Words | None
    number: bool
    """A number, else octets."""


class Column(NamedTuple):
    """One row of a protocol's table: how to read it and how to write it."""

    name: str
    read: Callable[[Cursor, Got], tuple[Sequence[Field], Sequence[Group]]]
    write: Callable[[Mapping[str, Any]], tuple[int, int]]
    """Values by name -> (number, bits), to be joined most significant first."""
    series: bool = False
    """Whether it is written from the octets it takes (options, records), not field by field."""
    parts: Callable[[Cursor, Got], Sequence[Column]] | None = None
    """The columns that it stands for where the cursor is, when it is no column of its own."""
    fixed: Fixed | None = None
    """What it always takes; None where that depends on the frame."""


def uint(
    name: str, bits: int, words: Words | Mapping[int, str] | None = None, default: int = 0
) -> Column:
    """A number of ``bits`` bits; ``words``: a function or a table from numbers to words."""
    say: Words | None = words.get if isinstance(words, Mapping) else words

    def read(cursor: Cursor, got: Got) -> tuple[Sequence[Field], Sequence[Group]]:
        return (cursor.uint(name, bits, say),), ()

    def write(values: Mapping[str, Any]) -> tuple[int, int]:
        return int(values.get(name, default)) & ((1 << bits) - 1), bits

    return Column(name, read, write, fixed=Fixed(bits, say, True))


Count = int | str | Callable[[Got], int]
"""How many octets: a number, the name of the field that says it, or a function of the fields."""


def counted(count: Count, got: Got) -> int:
    """What a count comes to; 0 when its field is absent or cut off."""
    if isinstance(count, int):
        return count
    if callable(count):
        return count(got)
    f = got.get(count)
    return f.number if f is not None and f.whole else 0


def octets(
    name: str, count: Count | None, words: Words | None = None, default: bytes = b""
) -> Column:
    """``count`` octets as they stand; None: all that are left."""

    def read(cursor: Cursor, got: Got) -> tuple[Sequence[Field], Sequence[Group]]:
        size = cursor.left // 8 if count is None else counted(count, got)
        return (cursor.raw(name, size, words),), ()

    def write(values: Mapping[str, Any]) -> tuple[int, int]:
        value = bytes(values.get(name, default))
        if isinstance(count, int):
            value = value.ljust(count, b"\0")[:count]
        return int.from_bytes(value, "big"), len(value) * 8

    always = Fixed(count * 8, words, False) if isinstance(count, int) and count > 0 else None
    return Column(name, read, write, fixed=always)


def choose(
    names: tuple[str, ...], pick: Callable[..., tuple[Column, ...]], default: int = 0
) -> Column:
    """Columns that depend on numbers already read.

    ``names``: the fields that decide; ``pick`` gets their values, one argument a name. When one
    of them is absent or cut off, nothing follows; in writing it then counts as ``default``.
    """

    def parts(cursor: Cursor, got: Got) -> Sequence[Column]:
        deciding = [got.get(name) for name in names]
        known = [f.value for f in deciding if f is not None and f.whole]
        return pick(*known) if len(known) == len(names) else ()

    def write(values: Mapping[str, Any]) -> tuple[int, int]:
        return write_table(pick(*(values.get(name, default) for name in names)), values)

    return Column("", partial(_read_parts, parts), write, False, parts)


def optional(*columns: Column) -> Column:
    """Columns of a later edition of a standard, read where octets are left for them.

    Written only when a value of one of them is given.
    """

    def parts(cursor: Cursor, got: Got) -> Sequence[Column]:
        return columns if cursor.left else ()

    def write(values: Mapping[str, Any]) -> tuple[int, int]:
        given = any(column.name in values for column in columns)
        return write_table(columns, values) if given else (0, 0)

    return Column("", partial(_read_parts, parts), write, False, parts)


def _read_parts(
    parts: Callable[[Cursor, Got], Sequence[Column]], cursor: Cursor, got: Got
) -> tuple[Sequence[Field], Sequence[Group]]:
    return read_table(cursor, parts(cursor, got), got)


class Next(NamedTuple):
    """What follows a header: which table, and up to where."""

    selector: str
    """The space of numbers: ``ethertype``, ``ip-protocol``, ``udp-port``, …"""
    numbers: tuple[int, ...]
    """Candidates, most telling first."""
    stop: int
    """Bit behind the last that belongs to it (the rest is the padding of a layer below)."""
    quoted: bool = False
    behind: str = "padding"
    """What stands between this stop and that of the layer below: ``padding`` or ``payload``."""


class Carried(NamedTuple):
    """What a header that is being written carries, and what it stands on."""

    octets: bytes
    """All that follows the header, already written, without padding."""
    entered_by: Mapping[str, int]
    """The number by which the next layer is entered, for each space of numbers; may be empty."""
    below: Mapping[str, Any]
    """The values of the layers below, the nearest one's first; empty for the first."""


class LayerKind(NamedTuple):
    """A protocol: its table, the numbers by which it is entered, and its standard."""

    name: str
    source: Source
    table: tuple[Column, ...]
    entered_by: tuple[tuple[str, int], ...] = ()
    """Spaces of numbers, and the number in each. Written out as literals: they are looked up in
    the file's text, so that the file need not run before its number is met."""
    leads_to: Callable[[Layer], Next | None] | None = None
    """The next layer, None when nothing follows. Gets the decoded layer (with its limit)."""
    says: Callable[[Layer, Sequence[Layer]], str | None] | None = None
    """One plain sentence about this layer in its stack, for the one-line summary."""
    fills: Callable[[Mapping[str, Any], Carried], Mapping[str, Any]] | None = None
    """What a sender works out (lengths, sums, the next layer's number), for writing."""


def decode(kind: LayerKind, data: bytes, start: int, stop: int, quoted: bool = False) -> Layer:
    """Read ``kind``'s table from ``data`` between two bits. Never fails, whatever the octets."""
    cursor = Cursor(data, start, stop)
    got: dict[str, Field] = {}
    fields, groups = read_table(cursor, kind.table, got)
    return Layer(
        kind.name, start, cursor.at, cursor.stop, tuple(fields), tuple(groups), quoted, got
    )


def read_table(
    cursor: Cursor, table: Sequence[Column], got: Got
) -> tuple[list[Field], list[Group]]:
    """The fields and items of all columns; ``got`` gains each name's first field."""
    fields: list[Field] = []
    groups: list[Group] = []
    for column in table:
        if cursor.at >= cursor.stop:
            break
        read, items = column.read(cursor, got)
        if column.parts is not None:
            fields += read  # gone through here already, or by ``stretch`` in the same way
        else:
            for f in read:
                if f.stop > f.start:
                    fields.append(f)
                    got.setdefault(f.name, f)
        if items:
            groups.extend(items)
    return fields, groups


def values(kind: LayerKind, data: bytes, start: int, stop: int) -> dict[str, Any]:
    """What ``encode`` needs to write the header that stands between two bits again.

    Numbers and octets by field name; a series of options or records as the octets it takes.
    Fields that the end cuts off are left out.
    """
    found: dict[str, Any] = {}
    _gather(Cursor(data, start, stop), kind.table, {}, found)
    return found


def _gather(cursor: Cursor, table: Sequence[Column], got: Got, found: dict[str, Any]) -> None:
    for column in table:
        if column.parts is not None:
            _gather(cursor, column.parts(cursor, got), got, found)
            continue
        begin = cursor.at
        read, _ = column.read(cursor, got)
        for f in read:
            got.setdefault(f.name, f)
        if column.series:
            found[column.name] = cursor.octets[begin >> 3 : cursor.at >> 3]
        else:
            found.update((f.name, f.value) for f in read if f.whole)


def encode(kind: LayerKind, values: Mapping[str, Any]) -> bytes:
    """Write the table with these values; what is not given takes the table's default.

    Raises ValueError when the columns do not come to whole octets.
    """
    number, bits = write_table(kind.table, values)
    if bits % 8:
        raise ValueError(f"{kind.name}: {bits} bits are not whole octets")
    return number.to_bytes(bits // 8, "big")


def write_table(table: Sequence[Column], values: Mapping[str, Any]) -> tuple[int, int]:
    """The number that the columns' values spell, and its bits."""
    number, bits = 0, 0
    for column in table:
        value, width = column.write(values)
        number, bits = number << width | value, bits + width
    return number, bits


def rejoin(fields: Iterable[Field], data: bytes) -> bytes:
    """The octets that the fields' values spell, bit for bit, for the tiling property.

    ``data`` gives the bits of numbers that are cut off (their value is None).
    """
    number, bits = 0, 0
    for f in fields:
        width = f.stop - f.start
        if isinstance(f.value, bytes):
            value = int.from_bytes(f.value, "big")
        elif f.value is None:
            value = int.from_bytes(data, "big") >> (len(data) * 8 - f.stop) & ((1 << width) - 1)
        else:
            value = f.value
        number, bits = number << width | value, bits + width
    return number.to_bytes(-(-bits // 8), "big")


def walk(layers: Sequence[Layer]) -> Iterator[Field]:
    """All fields of all layers, in the order of the frame."""
    for layer in layers:
        yield from layer.fields
