"""Byte lanes that are never written: octets i with i mod n in r."""

from __future__ import annotations

from collections.abc import Collection

from framecheck.core.span import Range, runs
from framecheck.damage._mechanism import Place


def unwritten(length: int, n: int, r: Collection[int]) -> tuple[Range, ...]:
    """i mod n in r."""
    return runs(i for i in range(length) if i % n in r)


LANE = Place("lane", unwritten)
