"""MAC control: a station asks its neighbor to pause (IEEE 802.3 31 and annex 31B, from memory)."""

from __future__ import annotations

from collections.abc import Sequence

from framecheck.core.finding import memory
from framecheck.core.layer import Column, Layer, LayerKind, Next, choose, uint

_PAUSE, _BY_PRIORITY = 0x0001, 0x0101
_OPCODES = {_PAUSE: "pause", _BY_PRIORITY: "pause by priority"}


def _times(value: int) -> str:
    """The unit is what 512 bits take on the wire."""
    return f"{value * 512} bit times" if value else "go on"


_BY_OPCODE: dict[int, tuple[Column, ...]] = {
    _PAUSE: (uint("pause_time", 16, _times),),
    _BY_PRIORITY: (
        uint("priority_enable_vector", 16),
        *(uint(f"time_{n}", 16, _times) for n in range(8)),
    ),
}


def _by_opcode(opcode: int) -> tuple[Column, ...]:
    return _BY_OPCODE.get(opcode, ())


def _leads_to(layer: Layer) -> Next | None:
    # The parameters of an opcode that is known end; all behind them is zero and fills up.
    known = layer.number("opcode") in _BY_OPCODE
    return Next("", (), layer.stop) if known else None


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    opcode = layer.number("opcode")
    if opcode is None:
        return None
    pause = layer.number("pause_time")
    if pause is not None:
        return f"MAC control: pause for {_times(pause)}" if pause else "MAC control: go on"
    return f"MAC control: {_OPCODES.get(opcode, f'opcode {opcode:#06x}')}"


MAC_CONTROL = LayerKind(
    name="mac-control",
    source=memory("IEEE 802.3", "31.4"),
    entered_by=(("ethertype", 0x8808),),
    table=(
        uint("opcode", 16, _OPCODES, default=_PAUSE),
        choose(("opcode",), _by_opcode, default=_PAUSE),
    ),
    leads_to=_leads_to,
    says=_says,
)
