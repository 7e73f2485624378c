"""The octets from ``start`` to ``stop`` are never written."""

from __future__ import annotations

from framecheck.core.span import Range
from framecheck.damage._mechanism import Place


def unwritten(length: int, start: int, stop: int) -> tuple[Range, ...]:
    """[start, stop), as far as the frame goes."""
    stop = min(stop, length)
    return ((start, stop),) if start < stop else ()


HOLE = Place("hole", unwritten)
