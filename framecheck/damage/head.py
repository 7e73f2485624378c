"""The first k octets are never written."""

from __future__ import annotations

from framecheck.core.span import Range
from framecheck.damage._mechanism import Place


def unwritten(length: int, k: int) -> tuple[Range, ...]:
    """i < k."""
    return ((0, min(k, length)),) if k and length else ()


HEAD = Place("head", unwritten)
