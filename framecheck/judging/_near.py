"""How a value that changed differs from the one it had: the slips that damage makes."""

from __future__ import annotations

from typing import NamedTuple


class Slip(NamedTuple):
    """One small change from one value to another of the same length."""

    how: str
    start: int
    """First octet that differs, counted from the value's first."""
    stop: int


def slip(value: bytes, usual: bytes) -> Slip | None:
    """The one small change that makes ``value`` of ``usual``; None for any other, and for none."""
    differ = [i for i, (a, b) in enumerate(zip(value, usual, strict=False)) if a != b]
    if not differ or len(value) != len(usual):
        return None
    first, last = differ[0], differ[-1]
    if len(differ) == 1:
        flipped = (value[first] ^ usual[first]).bit_count()
        return Slip("one bit" if flipped == 1 else "one octet", first, last + 1)
    exchanged = value[first] == usual[last] and value[last] == usual[first]
    if len(differ) == 2 and exchanged:
        return Slip("two octets exchanged", first, last + 1)
    pairs = bytes(value[i ^ 1] for i in range(len(value) & ~1))
    if pairs == usual:
        return Slip("the octets of each pair exchanged", first, last + 1)
    return None
