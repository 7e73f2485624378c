"""Each layer against octets of its standard: every field, its bits, its value, its words."""

from __future__ import annotations

import pytest
from layer_frames import VECTORS, Vector, vectors

from framecheck.core.layer import Layer, encode
from framecheck.layers import decode_frame, kind, kinds

EACH = pytest.mark.parametrize("vector", vectors(), ids=lambda v: f"{v.kind}-{v.name}")


def the_layer(vector: Vector) -> Layer:
    layers = decode_frame(vector.octets, vector.starts_at)
    (layer,) = (x for x in layers if x.kind == vector.kind and x.start == vector.start * 8)
    return layer


@EACH
def test_every_field_is_where_the_standard_has_it(vector: Vector) -> None:
    at = vector.start * 8
    expected = []
    for name, bits, value in vector.fields:
        expected.append((name, at, at + bits, value))
        at += bits

    assert [f[:4] for f in the_layer(vector).fields] == expected
    assert all(f.whole for f in the_layer(vector).fields)


@EACH
def test_values_read_as_people_say_them(vector: Vector) -> None:
    layer = the_layer(vector)

    assert {name: layer[name].reads for name in vector.reads} == vector.reads


@EACH
def test_the_table_writes_what_it_reads(vector: Vector) -> None:
    from framecheck.core.layer import values

    layer = the_layer(vector)
    given = values(kind(vector.kind), vector.octets, layer.start, layer.limit)

    start, stop = layer.octets
    assert encode(kind(vector.kind), given) == vector.octets[start:stop]


def test_each_layer_has_a_vector_and_each_vector_a_layer() -> None:
    assert {v.kind for v in vectors()} == {k.name for k in kinds()}
    assert {p.name for p in (VECTORS / "layers").iterdir()} == {k.name for k in kinds()}


def test_each_vector_and_each_layer_names_its_source() -> None:
    assert all(len(v.source) > 10 for v in vectors())
    assert all(k.source.document for k in kinds())


def test_each_file_declares_the_layer_that_it_is_named_after() -> None:
    from framecheck.core.shelf import modules

    assert modules("framecheck.layers") == tuple(k.name.replace("-", "_") for k in kinds())
