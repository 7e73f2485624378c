"""How it is declared what an answer repeats of its request, and what the declarations share."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import NamedTuple

from framecheck.core.finding import Source
from framecheck.core.layer import Layer
from framecheck.core.view import View

Repeated = tuple[int, bytes]
"""Octet of the frame, and the octets that the request says stand from there on."""


class Answer(NamedTuple):
    """A kind of answer."""

    source: Source
    """Where it is said that an answer repeats this."""
    repeats: Callable[[Layer, View], Iterator[Repeated]]
    """What an earlier frame asked for, where this layer answers it; nothing where it does not."""


def fields(layer: Layer, wanted: Mapping[str, bytes]) -> Iterator[Repeated]:
    """Whole fields of a layer that begin at an octet, by what should stand in them."""
    for name, octets in wanted.items():
        field = layer.get(name)
        if field is not None and field.whole and not field.start & 7:
            yield field.start // 8, octets


def ends(ip: Layer) -> Iterator[Repeated]:
    """The addresses of IP by which an answer was told to be one: they are as they should be."""
    for name in ("source_address", "destination_address"):
        yield from fields(ip, {name: ip[name].raw})
