"""Laws by the transforms of ``framecheck.damage``: octets changed where they stand, or moved."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache, lru_cache
from typing import Any

import numpy as np

from framecheck import damage
from framecheck.laws._model import Index, Octets

_REMEMBERED = 4096
"""Orders of octets that are kept: as many as a search's laws have lengths."""


@cache
def _of(family: str) -> damage.Mechanism:
    return damage.mechanism(family)


def changed(family: str, parameters: Mapping[str, Any]) -> Callable[[Octets], Octets]:
    """The family's damage as a change of octets that moves none."""
    apply = _of(family).apply
    return lambda octets: np.frombuffer(apply(octets.tobytes(), **parameters), np.uint8)


def moved(family: str, parameters: Mapping[str, Any], size: int, beyond: int = 0) -> Index:
    """Where each received octet stood in a frame of this size.

    ``beyond``: octets of the buffer behind the frame that may come in; they are counted on from
    the frame's end. A name that begins with an underscore is no parameter of the damage.
    """
    return _moved(family, tuple(parameters.items()), size, beyond)


@lru_cache(_REMEMBERED)
def _moved(family: str, parameters: tuple[tuple[str, Any], ...], size: int, beyond: int) -> Index:
    """Read off what becomes of the offsets themselves, the low and the high octet of each."""
    apply = _of(family).apply
    told = [(k, v) for k, v in parameters if k[0] != "_"]
    offsets = np.arange(size + beyond)
    planes = []
    for plane in (offsets & 255, offsets >> 8):
        octets = plane.astype(np.uint8).tobytes()
        more = {"beyond": octets[size:]} if beyond else {}
        came = np.frombuffer(apply(octets[:size], **dict(told), **more), np.uint8)
        planes.append(came.astype(np.int64))
    index: Index = planes[0] | planes[1] << 8
    index.setflags(write=False)
    return index
