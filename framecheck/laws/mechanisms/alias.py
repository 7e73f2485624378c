"""An address line does not toggle: two octets of memory become one."""

from __future__ import annotations

import numpy as np

from framecheck.laws._model import Advice, Mechanism, Parameters, Stream, each

_LINES = 11


def _apply(p: Parameters, sent: Stream) -> Stream:
    size, bit = len(sent.values), 1 << p["line"]
    own = np.arange(size)
    low = own & ~bit
    if p["mode"] == "read":
        return sent.take(low)
    # What is written later stands there: of two octets that share one place, the upper one.
    upper = np.where((own | bit) < size, own | bit, low)
    if p["mode"] == "both":
        return sent.take(upper)
    return sent.take(np.where(own & bit, own, upper)).unwritten((own & bit) > 0)


def _says(p: Parameters) -> str:
    line, mode = p["line"], p["mode"]
    when = {"read": "reads", "write": "writes", "both": "reads and writes"}[mode]
    return f"address line {line} (offset bit {1 << line}) is ignored by {when}"


def _helps(p: Parameters) -> Advice:
    return Advice(
        f"measure address line {p['line']}, or set the address step of the transfer; until then "
        "move octets one by one from the device",
        "half of the octets are lost: no software brings them back",
    )


ALIAS = Mechanism(
    "alias",
    2,
    _says,
    _helps,
    _apply,
    lambda _: each(
        {"line": line, "mode": mode} for line in range(_LINES) for mode in ("read", "write", "both")
    ),
    transform=True,
    old=True,
)
