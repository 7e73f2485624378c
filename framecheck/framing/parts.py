"""A frame that came in several buffers, each dumped by itself.

Proof is the frame's own length: the first dump begins as a frame and lacks octets by its IPv4 total
length; the dumps behind it begin as nothing and have exactly so many.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Sequence

from framecheck.core.frame import Doubt, Dump
from framecheck.core.text import Places, Row
from framecheck.framing.start import content

MOST = 32
"""Buffers of one frame."""
_TAGS = (b"\x81\x00", b"\x88\xa8")


def gathered(dumps: Iterator[Dump]) -> Iterator[Dump]:
    """The dumps in their order; those that are parts of one frame come as one."""
    ahead: deque[Dump] = deque()

    def following() -> Dump | None:
        return ahead.popleft() if ahead else next(dumps, None)

    while (first := following()) is not None:
        parts, lacking = [first], _lacking(first)
        while lacking > 0 and len(parts) < MOST:
            part = following()
            if part is None:
                break
            parts.append(part)
            lacking -= len(part.octets)
            if content(part.octets) >= 0:
                lacking = -1  # a frame of its own
        if lacking == 0 and len(parts) > 1:
            yield _joined(parts)
        else:
            ahead.extendleft(reversed(parts[1:]))
            yield first


def _lacking(dump: Dump) -> int:
    """Octets that an IPv4 datagram's total length (RFC 791 3.1) asks for beyond the dump."""
    octets = dump.octets
    at = 12
    while octets[at : at + 2] in _TAGS:
        at += 4
    if dump.wire_length is not None or octets[at : at + 3] != b"\x08\x00\x45":
        return 0
    return at + 2 + int.from_bytes(octets[at + 4 : at + 6], "big") - len(octets)


def _joined(parts: Sequence[Dump]) -> Dump:
    first = parts[0]
    rows: list[Row] = []
    doubtful: list[tuple[int, int]] = []
    at = 0
    for part in parts:
        rows += [row._replace(first=row.first + at) for row in part.places.rows]
        doubtful += [(a + at, b + at) for a, b in part.doubtful]
        at += len(part.octets)
    said = Doubt(
        "its parts",
        f"one frame in {len(parts)} buffers, as its length says",
        "dumps of their own",
        False,
        first.places.rows[0].line if first.places.rows else None,
    )
    gutters = {p.gutter for p in parts}
    return first._replace(
        octets=b"".join(p.octets for p in parts),
        places=Places(rows),
        claimed_length=None,
        doubts=(*(d for p in parts for d in p.doubts), said),
        at_edge=parts[-1].at_edge,
        gutter="differs" if "differs" in gutters else first.gutter,
        doubtful=tuple(doubtful),
        digits=sum(p.digits for p in parts),
        framing=sum(p.framing for p in parts),
    )
