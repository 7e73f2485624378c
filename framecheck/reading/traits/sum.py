"""A sum behind the octets of a row: a group that stands apart, and is none of them."""

from __future__ import annotations

from itertools import pairwise

from framecheck.reading._reading import Reading

_FEWEST = 4


def stands_apart(reading: Reading) -> bool:
    """Whether the last group stands further off than all others do from one another."""
    groups, line = reading.groups, reading.line
    if len(groups) < _FEWEST or reading.group != 1:
        return False
    gaps = [line[a[1] : b[0]] for a, b in pairwise(groups)]
    return gaps[-1] not in gaps[:-1] and len(gaps[-1]) > max(len(g) for g in gaps[:-1])


def is_sum(octets: bytes, said: bytes) -> bool:
    """Whether ``said`` is a usual sum of a row's octets: their sum, its negative, or their xor."""
    if len(said) != 1:
        return False
    total, folded = sum(octets) & 0xFF, 0
    for octet in octets:
        folded ^= octet
    return said[0] in (total, -total & 0xFF, ~total & 0xFF, folded)
