"""Frames from layers: lengths, sums and the numbers of what follows are worked out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from framecheck.core.layer import Carried, encode
from framecheck.layers._stack import kind


def build(
    layers: Sequence[tuple[str, Mapping[str, Any]]], payload: bytes = b"", pad: int = 0
) -> bytes:
    """The octets of a frame.

    ``layers``: kinds and values, outermost first. A value that is given stands as it is, also
    when it is wrong; lengths, checksums and the numbers by which the next layer is entered are
    worked out where none is given; all else takes its table's default. Options and records are
    octets, or (code, octets) pairs. ``payload``: octets behind the last layer. ``pad``: length
    in octets that zeros fill the frame up to (60 as on a wire, without FCS).

    Raises KeyError for an unknown kind.
    """
    octets = payload
    entered: dict[str, int] = {}
    below: list[dict[str, Any]] = [{}]
    for _, values in layers:
        below.append({**below[-1], **values})
    for at in range(len(layers) - 1, -1, -1):
        name, values = layers[at]
        table = kind(name)
        if table.fills is not None:
            values = {**table.fills(values, Carried(octets, entered, below[at])), **values}
        octets = encode(table, values) + octets
        entered = {}
        for space, number in table.entered_by:
            entered.setdefault(space, number)
    return octets.ljust(pad, b"\0")
