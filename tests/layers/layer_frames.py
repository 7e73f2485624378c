"""Frames that the tests of layers share: the vectors, and strategies for octets near real ones."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from hypothesis import strategies as st

VECTORS = Path(__file__).parents[2] / "vectors"


class Vector(NamedTuple):
    """A layer in a frame, as its standard has it."""

    kind: str
    name: str
    octets: bytes
    starts_at: str
    start: int
    source: str
    fields: tuple[tuple[str, int, int | bytes], ...]
    reads: dict[str, str]


def _octets(text: str) -> bytes:
    return bytes.fromhex("".join(text.split()))


def _load(path: Path) -> Vector:
    told: dict[str, Any] = tomllib.loads(path.read_text())
    return Vector(
        path.parent.name,
        path.stem,
        _octets(told["octets"]),
        told["starts_at"],
        told["start"],
        told["source"],
        tuple(
            (name, bits, bytes.fromhex(value) if isinstance(value, str) else value)
            for name, bits, value in told["fields"]
        ),
        told.get("reads", {}),
    )


@cache
def vectors() -> tuple[Vector, ...]:
    """All vectors of all layers."""
    return tuple(_load(p) for p in sorted((VECTORS / "layers").glob("*/*.toml")))


@cache
def reference() -> dict[str, bytes]:
    """The reference frames by name; their sums were worked out apart from this project."""
    told = tomllib.loads((VECTORS / "reference" / "frames.toml").read_text())
    return {name: _octets(frame["octets"]) for name, frame in told.items()}


@cache
def recorded() -> tuple[bytes, ...]:
    """All recorded frames: octets that real stacks wrote."""
    return tuple(_recorded())


def _recorded() -> Iterator[bytes]:
    import dpkt

    for path in sorted((VECTORS / "traffic").glob("*.pcap*")):
        with path.open("rb") as file:
            reader = (dpkt.pcapng if path.suffix == ".pcapng" else dpkt.pcap).Reader(file)
            yield from (bytes(octets) for _, octets in reader)


_FRONTS = tuple({bytes(v.octets[:cut]) for v in vectors() for cut in (14, 18, 34, 38, 42, 54, 282)})


def octets() -> st.SearchStrategy[bytes]:
    """Any octets: random ones, the front of a real frame with random ones, real ones damaged."""
    anything = st.binary(max_size=400)
    grafted = st.builds(bytes.__add__, st.sampled_from(_FRONTS), anything)
    return st.one_of(anything, grafted, st.builds(_damaged, st.sampled_from(vectors()), _CHANGES))


_CHANGES = st.lists(st.tuples(st.integers(0, 1500), st.integers(0, 255)), max_size=6)


def _damaged(vector: Vector, changes: list[tuple[int, int]]) -> bytes:
    changed = bytearray(vector.octets)
    for at, value in changes:
        changed[at % len(changed)] = value
    return bytes(changed)
