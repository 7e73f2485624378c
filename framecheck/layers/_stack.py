"""From octets to a stack of layers: a table, then what it leads to, until nothing is known.

The layers tile the frame bit for bit. What no table reads is ``payload``; what stands behind the
end that a length field of the link or of IP gives is ``padding``.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from framecheck.core.layer import Field, Layer, LayerKind, Next, decode
from framecheck.core.shelf import shelf
from framecheck.layers._words import count

MOST_LAYERS = 32
"""Headers in one frame; what stands deeper is payload (a frame could hold thousands of tags)."""

_FIRST = ("ethernet", "ipv4", "arp")


@cache
def kinds() -> tuple[LayerKind, ...]:
    """All protocols that are known, in the order of their files' names."""
    return shelf("framecheck.layers", LayerKind)


@cache
def _named() -> dict[str, LayerKind]:
    found = {k.name: k for k in kinds()}
    if len(found) < len(kinds()):
        raise LookupError("two layers have one name")
    return found


@cache
def _entered() -> dict[tuple[str, int], LayerKind]:
    found: dict[tuple[str, int], LayerKind] = {}
    for k in kinds():
        for number in k.entered_by:
            if number in found:
                raise LookupError(f"{found[number].name} and {k.name} are both entered by {number}")
            found[number] = k
    return found


def kind(name: str) -> LayerKind:
    """The protocol of that name. KeyError for one that no file declares."""
    return _named()[name]


def decode_frame(octets: bytes, starts_at: str = "ethernet") -> tuple[Layer, ...]:
    """The layers of a frame, from its first octet to its last, without gap or overlap.

    ``starts_at``: what octet 0 is the first octet of. ``ethernet``, ``ipv4`` and ``arp`` are
    read; anything else is payload from end to end. Any octets are read, and none raises; no
    octets give no layers.
    """
    data = bytes(octets)
    at, limit = 0, len(data) * 8
    quoted = False
    layers: list[Layer] = []
    edges: list[tuple[int, str]] = []
    table = kind(starts_at) if starts_at in _FIRST else None
    while table is not None and at < limit and len(layers) < MOST_LAYERS:
        layer = decode(table, data, at, limit, quoted)
        layers.append(layer)
        at = layer.stop
        step = table.leads_to(layer) if table.leads_to else None
        table = None
        if step is not None:
            if step.stop < limit:
                edges.append((limit, step.behind))
                limit = max(at, step.stop)
            quoted = quoted or step.quoted
            table = _next(step)
    if at < limit:
        layers.append(_rest("payload", data, at, limit, quoted))
    _unwind(layers, data, limit, edges)
    return tuple(layers)


def _next(step: Next) -> LayerKind | None:
    found = _entered()
    for number in step.numbers:
        if (step.selector, number) in found:
            return found[step.selector, number]
    return None


def _unwind(layers: list[Layer], data: bytes, at: int, edges: list[tuple[int, str]]) -> None:
    """Add what the length fields leave over, from the innermost to the frame's end."""
    for edge, name in reversed(edges):
        if at >= edge:
            continue
        start = at
        # Paddings of IP and of 802.3 touch: to the reader they are one.
        if name == "padding" and layers[-1].kind == "padding":
            start = layers.pop().start
        layers.append(_rest(name, data, start, edge, False))
        at = edge


def _rest(name: str, data: bytes, start: int, stop: int, quoted: bool) -> Layer:
    field = "data" if name == "payload" else name
    f = Field(field, start, stop, data[start >> 3 : stop >> 3], stop - start)
    return Layer(name, start, stop, stop, (f,), (), quoted)


def summary(layers: Sequence[Layer], octets: bytes) -> str:
    """One plain line about a frame: what its innermost header that can be read says."""
    said = None
    for layer in reversed(layers):
        says = _named()[layer.kind].says if layer.kind in _named() and not layer.quoted else None
        said = says(layer, layers) if says else None
        if said:
            break
    said = said or _plain(octets)
    tags = [t for x in layers if x.kind == "vlan" if (t := x.number("vlan_identifier")) is not None]
    return f"{said}, on VLAN {' in '.join(map(str, reversed(tags)))}" if tags else said


def _plain(octets: bytes) -> str:
    if not octets:
        return "no octets"
    return f"{count(len(octets), 'octet')} that begin with no known header"
