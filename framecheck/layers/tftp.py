"""TFTP: files in blocks (RFC 1350), with the options of RFC 2347; both from memory.

The first message goes to port 69; the ports of all that follow are chosen for the occasion, and
no number in those datagrams tells that they are TFTP.
"""

from __future__ import annotations

from collections.abc import Sequence

from framecheck.core.finding import memory
from framecheck.core.layer import Column, Layer, LayerKind, choose, uint
from framecheck.core.series import repeat
from framecheck.layers._strings import zero_ended

_OPERATIONS = {
    1: "read request",
    2: "write request",
    3: "data",
    4: "acknowledgment",
    5: "error",
    6: "option acknowledgment",
}
_ERRORS = {
    0: "not defined, see the message",
    1: "file not found",
    2: "access violation",
    3: "disk full",
    4: "illegal operation",
    5: "unknown transfer id",
    6: "file already exists",
    7: "no such user",
    8: "option refused",
}
_OPTIONS = repeat("options", None, (zero_ended("option"), zero_ended("value")))
_REQUEST = (zero_ended("filename"), zero_ended("mode"), _OPTIONS)
_BY_OPERATION: dict[int, tuple[Column, ...]] = {
    1: _REQUEST,
    2: _REQUEST,
    3: (uint("block", 16),),
    4: (uint("block", 16),),
    5: (uint("error_code", 16, _ERRORS), zero_ended("err_msg")),
    6: (_OPTIONS,),
}


def _by_operation(opcode: int) -> tuple[Column, ...]:
    return _BY_OPERATION.get(opcode, ())


def _says(layer: Layer, layers: Sequence[Layer]) -> str | None:
    opcode = layer.number("opcode")
    if opcode is None:
        return None
    name = layer.get("filename")
    if opcode in (1, 2) and name is not None:
        return f"TFTP asks to {'read' if opcode == 1 else 'write'} {name.reads}"
    block = layer.number("block")
    if block is not None:
        return f"TFTP {'sends' if opcode == 3 else 'has received'} block {block}"
    if opcode == 5:
        return f"TFTP fails: {_ERRORS.get(layer.number('error_code') or 0, 'unknown error')}"
    return f"TFTP {_OPERATIONS.get(opcode, f'operation {opcode}')}"


TFTP = LayerKind(
    name="tftp",
    source=memory("RFC 1350", "5"),
    entered_by=(("udp-port", 69),),
    table=(
        uint("opcode", 16, _OPERATIONS, default=1),
        choose(("opcode",), _by_operation, default=1),
    ),
    says=_says,
)
