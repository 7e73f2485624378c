"""The transfer comes in pieces of m octets, and a last piece that is short is never written."""

from __future__ import annotations

from framecheck.core.span import Range
from framecheck.damage._mechanism import Place


def unwritten(length: int, m: int, most: int) -> tuple[Range, ...]:
    """The last L mod m octets, when L > m and 0 < L mod m <= most."""
    rest = length % m
    return ((length - rest, length),) if length > m and 0 < rest <= most else ()


PIECE = Place("piece", unwritten)
