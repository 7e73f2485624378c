"""Series of the table engine: codes and lengths of any width, repeated tables, later editions."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from framecheck.core.finding import rfc
from framecheck.core.layer import Column, Layer, LayerKind, decode, encode, octets, optional, uint
from framecheck.core.layer import values as values_of
from framecheck.core.series import Option, options, repeat

KNOWN = {
    0: Option("end"),
    1: Option("name"),
    2: Option("pair", table=(uint("left", 8), uint("right", 8)), least=2),
}
WIDE = options("tag", None, KNOWN, length_counts_all=False, single=(), code_bits=16, length_bits=16)
PACKED = options(
    "tlv", None, KNOWN, length_counts_all=False, single=(), padding=None, code_bits=7, length_bits=9
)
EIGHTS = options("option", None, KNOWN, length_counts_all=True, single=(), ends=(), unit=8)
RECORDS = repeat("records", None, (uint("count", 8), repeat("items", "count", (uint("item", 8),))))


def table(*columns: Column) -> LayerKind:
    return LayerKind("toy", rfc(791, "3.1"), columns)


def read(column: Column, data: str) -> Layer:
    octets_ = bytes.fromhex(data)
    return decode(table(column), octets_, 0, len(octets_) * 8)


def shown(layer: Layer) -> list[tuple[str, object]]:
    return [(f.name, f.value) for f in layer.fields]


def test_codes_and_lengths_of_two_octets() -> None:
    layer = read(WIDE, "0001 0002 6162 0105 0000 0000 0000 ffff")

    assert [(g.code, g.name, g.data) for g in layer.groups] == [
        (1, "name", b"ab"),
        (0x105, "tag_261", b""),
        (0, "end", b""),
    ]
    assert layer["padding"].value == b"\xff\xff"


def test_a_code_of_seven_bits_and_a_length_of_nine() -> None:
    """The widths of LLDP (IEEE 802.1AB 8.4, from memory)."""
    layer = read(PACKED, "0203616263 0000 eeee")

    assert shown(layer) == [
        ("tlv", 1),
        ("tlv_length", 3),
        ("name", b"abc"),
        ("tlv", 0),
        ("tlv_length", 0),
    ]
    assert layer.octets == (0, 7)


def test_a_length_in_units_of_eight_octets() -> None:
    """As in neighbor discovery (RFC 4861 4.6)."""
    layer = read(EIGHTS, "0101 616263646566 0201 0102 00000000")

    assert layer["name"].value == b"abcdef"
    assert [layer[n].value for n in ("left", "right", "unparsed")] == [1, 2, bytes(4)]


def test_a_length_of_zero_eights_ends_the_series() -> None:
    """RFC 4861 4.6: nodes discard a packet with an option of length zero."""
    assert shown(read(EIGHTS, "0100 616263646566")) == [
        ("option", 1),
        ("option_length", 0),
        ("unparsed", b"abcdef"),
    ]


@pytest.mark.parametrize(
    ("column", "data", "widths"),
    [
        (WIDE, "00", [8]),
        (WIDE, "0001", [16]),
        (WIDE, "000100", [16, 8]),
        (PACKED, "02", [7, 1]),
        (EIGHTS, "01", [8]),
    ],
)
def test_a_head_that_the_end_cuts_keeps_its_bits(
    column: Column, data: str, widths: list[int]
) -> None:
    layer = read(column, data)

    assert [f.stop - f.start for f in layer.fields] == widths
    assert (layer.groups[0].missing, layer.groups[0].whole) == (1, False)


PAIRS = st.lists(st.tuples(st.integers(1, 127), st.binary(max_size=40)), max_size=6)


@given(PAIRS, st.sampled_from([WIDE, PACKED]))
def test_what_is_written_is_read_again(pairs: list[tuple[int, bytes]], column: Column) -> None:
    data = encode(table(column), {column.name: pairs})

    layer = decode(table(column), data, 0, len(data) * 8)
    assert [(g.code, g.data) for g in layer.groups] == pairs


@given(PAIRS)
def test_a_series_of_eights_is_filled_up(pairs: list[tuple[int, bytes]]) -> None:
    data = encode(table(EIGHTS), {"option": pairs})

    layer = decode(table(EIGHTS), data, 0, len(data) * 8)
    assert len(data) % 8 == 0
    assert [g.code for g in layer.groups] == [code for code, _ in pairs]
    for group, (_, value) in zip(layer.groups, pairs, strict=True):
        assert group.data == value.ljust(-(-(len(value) + 2) // 8) * 8 - 2, b"\0")


def test_a_table_is_read_again_and_again() -> None:
    layer = read(RECORDS, "02 0a0b 00 01 0c")

    assert [(g.code, [f.value for f in g.fields]) for g in layer.groups] == [
        (2, [2, 10, 11]),
        (0, [0]),
        (1, [1, 12]),
    ]


def test_a_count_that_is_too_large_reads_what_is_there() -> None:
    layer = read(RECORDS, "ff 0a0b")

    assert shown(layer) == [("count", 255), ("item", 10), ("item", 11)]


def test_a_repeated_table_is_written_from_mappings() -> None:
    given_ = [{"count": 2, "items": [{"item": 10}, {"item": 11}]}, {"count": 0}]

    assert encode(table(RECORDS), {"records": given_}) == bytes.fromhex("020a0b00")


def test_a_table_without_octets_ends_its_repetition() -> None:
    column = repeat("none", None, (octets("nothing", 0),))

    assert read(column, "0102").fields == ()


def test_columns_of_a_later_edition() -> None:
    kind = table(uint("old", 8), optional(uint("new", 8), uint("newer", 8)))

    assert encode(kind, {"old": 1}) == b"\x01"
    assert encode(kind, {"old": 1, "newer": 3}) == b"\x01\x00\x03"
    assert values_of(kind, b"\x01", 0, 8) == {"old": 1}
    assert values_of(kind, b"\x01\x02\x03", 0, 24) == {"old": 1, "new": 2, "newer": 3}
