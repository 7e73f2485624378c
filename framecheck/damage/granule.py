"""The transfer writes whole granules of n octets only, and drops the rest.

Octets are counted from ``lead`` before the frame to ``trail`` behind it.
"""

from __future__ import annotations

from framecheck.core.span import Range
from framecheck.damage._mechanism import Place


def unwritten(length: int, n: int, lead: int = 0, trail: int = 0) -> tuple[Range, ...]:
    """From max(0, floor((L + lead + trail) / n) * n - lead) to the end."""
    start = max(0, (length + lead + trail) // n * n - lead)
    return ((start, length),) if start < length else ()


GRANULE = Place("granule", unwritten)
