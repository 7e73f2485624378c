"""The last k octets are never written."""

from __future__ import annotations

from framecheck.core.span import Range
from framecheck.damage._mechanism import Place


def unwritten(length: int, k: int) -> tuple[Range, ...]:
    """i >= L - k."""
    return ((max(0, length - k), length),) if k and length else ()


TAIL = Place("tail", unwritten)
