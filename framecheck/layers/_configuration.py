"""What LCP and the control protocols of PPP share: a code, an identifier, options to agree on.

RFC 1661 5 and 6, from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from framecheck.core.layer import (
    Carried,
    Column,
    Got,
    Layer,
    LayerKind,
    Next,
    choose,
    encode,
    uint,
)
from framecheck.core.series import Option, options

_HEADER = 4
CODES = {
    1: "configure-request",
    2: "configure-ack",
    3: "configure-nak",
    4: "configure-reject",
    5: "terminate-request",
    6: "terminate-ack",
    7: "code-reject",
}
_WITH_OPTIONS = (1, 2, 3, 4)


def _size(got: Got) -> int:
    f = got.get("length")
    return max(0, f.number - _HEADER) if f is not None and f.whole else 0


def _leads_to(layer: Layer) -> Next | None:
    """Data of the packet up to its length; what stands behind is padding (RFC 1661 5)."""
    length = layer.number("length")
    if length is None:
        return None
    stop = layer.start + length * 8
    # A length that cannot be leaves all that is there to it.
    return Next("", (), min(stop, layer.limit) if stop >= layer.stop else layer.limit)


def table(
    known: Mapping[int, Option],
    codes: Mapping[int, str],
    bodies: Mapping[int, tuple[Column, ...]],
) -> tuple[Column, ...]:
    """The columns: ``known`` the options, ``bodies`` what codes beyond the seven of all carry."""
    series = options("option", _size, known, length_counts_all=True, single=(), ends=())

    def by_code(code: int) -> tuple[Column, ...]:
        return (series,) if code in _WITH_OPTIONS else bodies.get(code, ())

    return (
        uint("code", 8, codes, default=1),
        uint("identifier", 8),
        uint("length", 16),
        choose(("code",), by_code, default=1),
    )


def leads_to(layer: Layer) -> Next | None:
    """Data of the packet up to its length; what stands behind is padding (RFC 1661 5)."""
    length = layer.number("length")
    if length is None:
        return None
    stop = layer.start + length * 8
    # A length that cannot be leaves all that is there to it.
    return Next("", (), min(stop, layer.limit) if stop >= layer.stop else layer.limit)


def said(name: str, codes: Mapping[int, str], layer: Layer) -> str | None:
    """The packet's code and identifier."""
    code, which = layer.number("code"), layer.number("identifier")
    if code is None:
        return None
    return f"{name} {codes.get(code, f'code {code}')}" + (f" {which}" if which is not None else "")


def fill(kind: LayerKind, values: Mapping[str, Any], carried: Carried) -> Mapping[str, Any]:
    """The length of the packet."""
    return {"length": len(encode(kind, values)) + len(carried.octets)}
