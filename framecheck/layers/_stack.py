"""From octets to a stack of layers: a table, then what it leads to, until nothing is known.

The layers tile the frame bit for bit. What no table reads is ``payload``; what stands behind the
end that a length field of the link or of IP gives is ``padding``.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache

from framecheck.core.layer import Field, Layer, LayerKind, Next, decode
from framecheck.core.shelf import load, modules, text
from framecheck.core.stretch import joined
from framecheck.layers._words import count

MOST_LAYERS = 32
"""Headers in one frame; what stands deeper is payload (a frame could hold thousands of tags)."""

_SHELF = "framecheck.layers"
_FIRST = ("ethernet", "ipv4", "ipv6", "arp", "ppp", "hdlc")
_NUMBER = re.compile(r'\("([a-z-]+)", (0x[0-9A-F]+|[0-9]+)\)')


@cache
def kinds() -> tuple[LayerKind, ...]:
    """All protocols that are known, in the order of their names."""
    return tuple(_load(module) for module in modules(_SHELF))


@cache
def _load(module: str) -> LayerKind:
    found = load(_SHELF, module, LayerKind)
    if [k.name for k in found] != [module.replace("_", "-")]:
        raise LookupError(f"{module} must declare one layer, named as the file is")
    return found[0]._replace(table=joined(found[0].table))


def kind(name: str) -> LayerKind:
    """The protocol of that name. KeyError for one that no file declares."""
    module = name.replace("-", "_")
    if module not in modules(_SHELF):
        raise KeyError(name)
    return _load(module)


@cache
def entries() -> dict[tuple[str, int], str]:
    """Which file's layer is entered by which number.

    A frame meets a handful of protocols: the others' files are not run, only their text is
    searched for what they declare as ``entered_by``.
    """
    found: dict[tuple[str, int], str] = {}
    for module in modules(_SHELF):
        _, _, rest = text(_SHELF, module).partition("\n    entered_by=(")
        for space, number in _NUMBER.findall(rest.partition("\n    table=")[0]):
            entry = space, int(number, 0)
            if entry in found:
                raise LookupError(f"{found[entry]} and {module} are both entered by {entry}")
            found[entry] = module
    return found


def decode_frame(octets: bytes, starts_at: str = "ethernet") -> tuple[Layer, ...]:
    """The layers of a frame, from its first octet to its last, without gap or overlap.

    ``starts_at``: what octet 0 is the first octet of. ``ethernet``, ``ipv4``, ``ipv6``, ``arp``,
    ``ppp`` and ``hdlc`` (after unescaping) are read; anything else is payload from end to end.
    Any octets are read, and none raises; no octets give no layers.
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
    found = entries()
    for number in step.numbers:
        module = found.get((step.selector, number))
        if module is not None:
            return _load(module)
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
        plain = layer.quoted or layer.kind in ("payload", "padding")
        says = None if plain else kind(layer.kind).says
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
