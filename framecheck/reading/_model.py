"""What rows that are alike have in common, by columns of characters."""

from __future__ import annotations

from typing import NamedTuple


class Model(NamedTuple):
    """What such rows have in common; ``usable`` is false where columns do not tell."""

    size: int
    """Characters of a row's line."""
    start: int
    """Characters in front of the octets."""
    stop: int
    """Where the octets end."""
    lead: str
    """What stands in front of the offset, or of the octets where there is none."""
    varies: bool
    """Whether the decimal digits of that may differ from row to row."""
    digits: int
    """Those of the offset."""
    between: str
    """What stands between the offset and the octets."""
    join: str
    """What the octets of rows are joined by."""
    period: int
    """Characters of joined rows after which all is the same again."""
    marks: tuple[tuple[int, str], ...]
    """The separators' characters, each with its place in a period."""
    usable: bool
