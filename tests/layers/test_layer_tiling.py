"""The frame is tiled: fields join bit for bit from the first octet to the last, for any octets."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from layer_frames import Vector, octets, recorded, vectors

from framecheck.core.layer import Layer, encode, rejoin, values, walk
from framecheck.layers import decode_frame, kind, kinds, summary

STARTS = ("ethernet", "ipv4", "arp", "ipv6", "ppp", "hdlc", "inside", "unknown")
NAMES = {k.name for k in kinds()} | {"payload", "padding"}


def assert_tiled(frame: bytes, starts_at: str = "ethernet") -> tuple[Layer, ...]:
    """All that holds for any octets; nothing here may raise."""
    layers = decode_frame(frame, starts_at)
    at = 0
    for layer in layers:
        assert layer.kind in NAMES
        assert layer.start == at
        assert layer.stop <= layer.limit <= len(frame) * 8
        for f in layer.fields:
            assert f.start == at
            assert f.stop > f.start
            assert f.wanted >= f.stop - f.start
            at = f.stop
        assert layer.stop == at
        for group in layer.groups:
            assert layer.start <= group.start < group.stop <= layer.stop
    assert at == len(frame) * 8
    assert rejoin(walk(layers), frame) == frame
    return layers


def assert_readable(frame: bytes, layers: tuple[Layer, ...]) -> None:
    """Nothing of a frame reaches a reader unescaped, however hostile it is."""
    said = [summary(layers, frame)] + [f.reads for f in walk(layers) if f.reads]
    assert all(text.isprintable() for text in said)
    assert len(said[0]) < 1500


@settings(max_examples=400, deadline=None)
@given(octets(), st.sampled_from(STARTS))
def test_any_octets_are_tiled_and_can_be_said(frame: bytes, starts_at: str) -> None:
    assert_readable(frame, assert_tiled(frame, starts_at))


@settings(max_examples=300, deadline=None)
@given(octets())
def test_any_header_is_written_again_from_its_values(frame: bytes) -> None:
    for layer in decode_frame(frame):
        if layer.kind not in ("payload", "padding") and all(f.whole for f in layer.fields):
            again = encode(
                kind(layer.kind), values(kind(layer.kind), frame, layer.start, layer.limit)
            )
            start, stop = layer.octets
            # A header that ends between two fields is written with the defaults of the rest.
            assert again[: stop - start] == frame[start:stop]


@pytest.mark.parametrize("vector", vectors(), ids=lambda v: f"{v.kind}-{v.name}")
def test_a_frame_cut_anywhere_is_tiled_and_keeps_the_bits_it_has(vector: Vector) -> None:
    whole = assert_tiled(vector.octets, vector.starts_at)
    edges = {f.stop for f in walk(whole)}
    for length in range(len(vector.octets)):
        layers = assert_tiled(vector.octets[:length], vector.starts_at)
        assert_readable(vector.octets[:length], layers)
        last = layers[-1].fields[-1] if layers else None
        # The table itself cuts nothing: only a field that the end runs through is not whole.
        if last is not None and length * 8 not in edges and last.name not in OF_ANY_LENGTH:
            assert not last.whole


# An NTP digest is told from an extension field by what is left (RFC 7822 3).
OF_ANY_LENGTH = {"data", "padding", "unparsed", "pad", "msg", "message_digest"}


@pytest.mark.parametrize("vector", vectors(), ids=lambda v: f"{v.kind}-{v.name}")
def test_a_frame_with_any_one_octet_damaged_is_tiled(vector: Vector) -> None:
    for at, octet in enumerate(vector.octets):
        for damaged in (0x00, 0xFF, octet ^ 0xFF, octet ^ 0x01, octet ^ 0x80):
            frame = vector.octets[:at] + bytes((damaged,)) + vector.octets[at + 1 :]
            assert_readable(frame, assert_tiled(frame, vector.starts_at))


def test_recorded_frames_are_tiled() -> None:
    assert len(recorded()) > 100
    for frame in recorded():
        assert_readable(frame, assert_tiled(frame))


TAGS = bytes.fromhex("ffffffffffff00005e005301") + bytes.fromhex("81000001") * 16380
ZEROS = bytes(65535)


@pytest.mark.parametrize(
    "frame", [TAGS, ZEROS, b"\xff" * 65535, b""], ids=["tags", "zeros", "ones", "none"]
)
def test_the_longest_frames_are_tiled(frame: bytes) -> None:
    layers = assert_tiled(frame)
    assert_readable(frame, layers)
    assert len(layers) <= 40
