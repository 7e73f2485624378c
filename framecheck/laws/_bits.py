"""What it costs to say a frame under a law, in bits: three explanations, the cheapest counts.

A frame is what the law foretells but for isolated octets; or a burst of unrelated damage lies in
it; or it is given up and told octet by octet. The last two keep one spoilt frame from deciding
against the law that all others follow.
"""

from __future__ import annotations

from math import log2

OCTET = 1e-3
"""Chance that an octet is wrong for no reason of the law."""
SPOILT = 0.03
"""Chance that a frame has unrelated damage."""
RIGHT = -log2(1 - OCTET)
WRONG = log2(255 / OCTET)
UNKNOWN = 8.0
"""An octet of which the law says nothing."""
KEPT = -log2(1 - SPOILT)
LOST = -log2(SPOILT)
ABSENT = 24.0
"""A frame that did not come, against what the law says; or one that came all the same."""
LENGTH = 16.0
"""Another length than foretold; each surplus octet costs its bits on top."""


def length_bits(foretold: int, received: int) -> float:
    """The cost of a length that is not the foretold one."""
    if foretold == received:
        return 0.0
    return LENGTH + UNKNOWN * max(0, received - foretold)
