"""Lengths that probes are sent with, in the order of their numbers.

Found by exhaustive and greedy search over lengths from 60 to 1514 (our own search, no source).
"""

FIRST = (63, 78, 95)
"""Part all granules up to 64 that are counted from the frame's start."""
STARTS = (60, 135, 161, 798, 210)
"""Part them wherever their count starts."""
TRAIL = (97, 83, 284)
"""Tell whether the FCS is counted in."""
_LONG = (1023, 1514, 1117, 1019, 1272, 249, 1022, 508, 1018, 1021, 309, 1501)
_SHORT = (546, 718, 102, 1020, 1511, 127, 255, 61, 63, 95, 511, 66)
SWEEP = (*_LONG, *_SHORT)
"""24 lengths that part the laws of all families that depend on the length."""
SETS = (SWEEP, FIRST, STARTS, TRAIL, (*FIRST, *STARTS), (*FIRST, *STARTS, *TRAIL))
"""Sets that are sent together."""
