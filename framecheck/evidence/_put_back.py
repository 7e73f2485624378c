"""A received frame of another length with its octets back where they were sent, in a few ways.

Octets put in front of it, or behind its addresses, or lost there; one lost or doubled by rule. What
was lost is not known, and says nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from framecheck.evidence._regular import Blocks, regular

_EDGES = (0, 12, 14)
"""Where headers are put in or eaten: in front of the frame, its type and its payload."""
_MOST = 64
"""Octets put in or lost in one piece."""

_HELD = 0.75
"""Share of the octets that a rule must account for."""


class PutBack(NamedTuple):
    """Octets as they may have been sent, and which of them came."""

    octets: bytes
    known: bytes
    """1 for each octet that came, 0 for one that was lost."""


def put_back(received: bytes, sent: bytes) -> Iterator[PutBack]:
    """The received octets at the offsets that they may have been sent at.

    ``sent``: what the wire carried, if this is the frame: its length and its first octets choose
    among the ways. Nothing for a frame that is as long as the received one.
    """
    size, length = len(received), len(sent)
    lost = length - size
    if not lost:
        return
    if abs(lost) <= _MOST:
        for at in _EDGES:
            if at >= min(size, length):
                break
            over = max(0, -lost)
            yield _mapped(received, length, [(0, 0, at), (at + over, at + max(0, lost), length)])
    for blocks in regular(received, sent):
        if sum(count for _, _, count in blocks) >= _HELD * min(size, length):
            yield _mapped(received, length, blocks)


def _mapped(received: bytes, length: int, blocks: Blocks) -> PutBack:
    octets, known = bytearray(length), bytearray(length)
    for i, j, count in blocks:
        part = received[i : i + count][: length - j]
        octets[j : j + len(part)] = part
        known[j : j + len(part)] = b"\1" * len(part)
    return PutBack(bytes(octets), bytes(known))
