"""Tables joined for reading read what the plain tables read, field for field, wherever they end.

An invariant of the code itself, with ``struct`` on one side and plain shifts on the other; against
other readers the joined tables stand in ``test_layer_against_dpkt``.
"""

from __future__ import annotations

from hypothesis import example, given
from hypothesis import strategies as st

from framecheck.core.finding import rfc
from framecheck.core.layer import Column, Layer, LayerKind, decode, encode, octets, uint, values
from framecheck.core.shelf import shelf
from framecheck.core.stretch import joined

FLAGS = (
    uint("version", 4),
    uint("length", 4),
    uint("first", 1),
    uint("offset", 15),
    octets("address", 6),
    uint("odd", 24),
    uint("number", 64),
    octets("rest", None),
)


def both(kind: LayerKind, data: bytes, start: int = 0) -> tuple[Layer, Layer]:
    """A layer as the plain table reads it, and as the joined one does."""
    ready = kind._replace(table=joined(kind.table))
    return decode(kind, data, start, len(data) * 8), decode(ready, data, start, len(data) * 8)


def seen(layer: Layer) -> tuple[object, ...]:
    return layer.stop, layer.fields, layer.groups


def toy(*columns: Column) -> LayerKind:
    return LayerKind("toy", rfc(791, "3.1"), columns)


@given(st.binary(max_size=48), st.integers(0, 12))
@example(bytes(range(48)), 4)
def test_flags_words_and_octets(data: bytes, start: int) -> None:
    """Also from a bit that stands on no octet's edge, which the plain columns read."""
    start = min(start, len(data) * 8)
    kind = toy(*FLAGS[:4], *FLAGS[5:7]) if start % 8 else toy(*FLAGS)
    plain, ready = both(kind, data, start)

    assert seen(ready) == seen(plain)


@given(st.sampled_from(shelf("framecheck.layers", LayerKind)), st.binary(max_size=320))
def test_every_protocol(kind: LayerKind, data: bytes) -> None:
    plain, ready = both(kind, data)

    assert seen(ready) == seen(plain)


def test_what_is_joined_is_written_alike() -> None:
    data = bytes(range(30))
    ready = toy(*joined(FLAGS))

    assert len(ready.table) < len(FLAGS)
    assert values(ready, data, 0, 240) == values(toy(*FLAGS), data, 0, 240)
    assert encode(ready, values(ready, data, 0, 240)) == data
