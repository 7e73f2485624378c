"""The table engine: what one column reads and writes, whole, cut off, and lying."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from framecheck.core.finding import rfc
from framecheck.core.layer import (
    Field,
    Layer,
    LayerKind,
    choose,
    decode,
    encode,
    octets,
    uint,
)
from framecheck.core.series import Option, options
from framecheck.core.span import Span

OPTIONS = {
    0: Option("end"),
    1: Option("none"),
    2: Option("size", number=2),
    3: Option("pair", table=(uint("left", 4), uint("right", 12)), least=2),
}
SERIES = options("option", None, OPTIONS, length_counts_all=True, single=(0, 1))


def table(*columns: object) -> LayerKind:
    return LayerKind("toy", rfc(791, "3.1"), columns)  # type: ignore[arg-type]


def read(kind: LayerKind, data: bytes) -> Layer:
    return decode(kind, data, 0, len(data) * 8)


def shown(layer: Layer) -> list[tuple[str, object]]:
    return [(f.name, f.value) for f in layer.fields]


WIDTHS = st.lists(st.integers(1, 40), min_size=1, max_size=12).filter(lambda w: sum(w) % 8 == 0)


@given(WIDTHS, st.data())
def test_numbers_of_any_width_are_read_and_written(widths: list[int], data: st.DataObject) -> None:
    """Against Python's own binary digits."""
    kind = table(*(uint(f"f{i}", width) for i, width in enumerate(widths)))
    digits = data.draw(st.text("01", min_size=sum(widths), max_size=sum(widths)))
    octets_ = int(digits, 2).to_bytes(len(digits) // 8, "big")
    layer = read(kind, octets_)

    assert "".join(f"{f.value:0{f.wanted}b}" for f in layer.fields) == digits
    assert encode(kind, {f.name: f.value for f in layer.fields}) == octets_


def test_a_number_that_is_cut_off_keeps_its_bits_and_has_no_value() -> None:
    (f,) = read(table(uint("length", 16)), b"\x01").fields

    assert f[:5] == ("length", 0, 8, None, 16)
    assert (f.whole, f.raw, f.reads, f.span) == (False, b"", None, Span(0, 8))
    with pytest.raises(TypeError, match="length is cut off"):
        _ = f.number


def test_octets_that_are_cut_off_keep_what_there_is() -> None:
    (f,) = read(table(octets("address", 4)), b"\x01\x02").fields

    assert f[:5] == ("address", 0, 16, b"\x01\x02", 32)
    assert (f.whole, f.number, f.raw) == (False, 0x0102, b"\x01\x02")


def test_a_field_counts_another() -> None:
    kind = table(uint("count", 8), octets("data", "count"), octets("rest", None))

    assert shown(read(kind, b"\x02abc")) == [("count", 2), ("data", b"ab"), ("rest", b"c")]


def test_columns_that_a_number_decides() -> None:
    kind = table(uint("type", 8), choose(("type",), lambda t: (uint("more", 8),) if t else ()))

    assert shown(read(kind, b"\x00\x07")) == [("type", 0)]
    assert shown(read(kind, b"\x01\x07")) == [("type", 1), ("more", 7)]
    assert encode(kind, {"type": 1, "more": 7}) == b"\x01\x07"
    assert encode(kind, {}) == b"\x00"


def test_a_table_that_does_not_come_to_whole_octets_cannot_be_written() -> None:
    with pytest.raises(ValueError, match="toy: 4 bits are not whole octets"):
        encode(table(uint("nibble", 4)), {})


def test_a_series_of_options() -> None:
    layer = read(table(SERIES), bytes.fromhex("01 0204 05b4 0304 1234 0903ff 00 0000"))

    assert [(g.code, g.name, g.data) for g in layer.groups] == [
        (1, "none", b""),
        (2, "size", b"\x05\xb4"),
        (3, "pair", b"\x12\x34"),
        (9, "option_9", b"\xff"),
        (0, "end", b""),
    ]
    assert (layer["size"].value, layer["left"].value, layer["right"].value) == (1460, 1, 0x234)
    assert layer["padding"].value == b"\0\0"
    size = layer.group(2)
    assert size is not None
    assert size.value is not None
    assert size.length is not None
    assert (size.span, size.whole, size.length.value) == (Span(8, 40), True, 4)
    assert size.value.value == 1460
    assert layer.group(77) is None
    assert layer.groups[0].value is None


@pytest.mark.parametrize("length", [0, 1])
def test_a_length_that_cannot_be_ends_the_series(length: int) -> None:
    layer = read(table(SERIES), bytes((2, length, 5, 0xB4)))

    assert shown(layer) == [("option", 2), ("option_length", length), ("unparsed", b"\x05\xb4")]


@pytest.mark.parametrize(
    ("octets_", "missing"),
    [("02", 1), ("0204", 2), ("020405", 1), ("0304ff", 1), ("02ff0505", 251)],
)
def test_an_option_that_leads_past_the_end_says_what_is_missing(octets_: str, missing: int) -> None:
    (group,) = read(table(SERIES), bytes.fromhex(octets_)).groups

    assert (group.missing, group.whole) == (missing, False)


def test_a_value_of_another_size_stays_octets() -> None:
    layer = read(table(SERIES), bytes.fromhex("0203ff 0303ee"))

    assert (layer["size"].value, layer["pair"].value) == (b"\xff", b"\xee")


def test_a_layer_answers_for_its_fields() -> None:
    layer = decode(table(uint("a", 8), uint("b", 16)), b"\x01\x02", 0, 16)

    assert layer.whole("a")
    assert not layer.whole("a", "b")
    assert not layer.whole("c")
    assert (layer.number("a"), layer.number("b"), layer.number("c")) == (1, None, None)
    assert (layer.octets, layer.room) == ((0, 2), 2)
    assert repr(layer) == "Layer(toy, (0, 2), a=1, b=None)"
    with pytest.raises(KeyError):
        layer["c"]


def test_words_are_asked_for_only_when_there_is_a_value() -> None:
    assert Field("f", 0, 8, 1, 8, {1: "one"}.get).reads == "one"
    assert Field("f", 0, 8, 2, 8, {1: "one"}.get).reads is None
    assert Field("f", 0, 8, None, 16, {1: "one"}.get).reads is None
