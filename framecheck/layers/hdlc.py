"""PPP in HDLC-like framing, unescaped, without flags and FCS (RFC 1662 3.1, from memory)."""

from __future__ import annotations

from framecheck.core.finding import memory
from framecheck.core.layer import Layer, LayerKind, Next, uint

_UNNUMBERED = 0x03


def _leads_to(layer: Layer) -> Next | None:
    control = layer.number("control")
    return None if control is None else Next("hdlc-control", (control,), layer.limit)


HDLC = LayerKind(
    name="hdlc",
    source=memory("RFC 1662", "3.1"),
    table=(
        uint("address", 8, {0xFF: "all stations"}, default=0xFF),
        uint("control", 8, {_UNNUMBERED: "unnumbered information"}, default=_UNNUMBERED),
    ),
    leads_to=_leads_to,
)
