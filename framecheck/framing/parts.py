"""A frame that came in several buffers, each dumped by itself.

Proof is the frame's own length: the first dump begins as a frame and lacks octets by the length in
its IP header; the dumps behind it begin as nothing and have exactly so many, or as many and an FCS
that holds. Where they have not, full buffers that begin as nothing leave a doubt.
"""

from __future__ import annotations

import zlib
from collections import deque
from collections.abc import Iterator, Sequence

from framecheck.core.frame import Doubt, Dump
from framecheck.core.text import Places, Row
from framecheck.framing.start import STRONG, content

MOST = 32
"""Buffers of one frame."""
_TAGS = (b"\x81\x00", b"\x88\xa8")
_IPV4, _IPV6 = b"\x08\x00\x45", b"\x86\xdd"
_HEADER_6 = 40
"""Octets of an IPv6 header, which its payload length does not count (RFC 8200 3)."""
_FCS = 4
_PARTS = "its parts"
_SETTLED = ("where the dump starts", "where the dump ends", "length")
"""What is doubted of a part that may be less than a frame, and no more of the frame."""
_BUFFER = 32
"""Octets of a small buffer."""
_STEP = 16
"""Buffers have a multiple of so many octets."""
_NEAR = 4
"""Lines from one part to the next, at the most."""


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
            if content(part.octets) >= STRONG / 2:
                break  # a frame of its own
        else:
            if len(parts) > 1 and (lacking == 0 or (lacking == -_FCS and _with_fcs(parts))):
                yield _joined(parts)
                continue
        if len(parts) > 1 and _goes_on(first, parts[1]):
            first, parts[1] = _doubted(first), _doubted(parts[1])
        ahead.extendleft(reversed(parts[1:]))
        yield first


def _lacking(dump: Dump) -> int:
    """Octets that the frame's datagram asks for beyond the dump.

    By IPv4's total length (RFC 791 3.1) or IPv6's payload length (RFC 8200 3).
    """
    octets = dump.octets
    at = 12
    while octets[at : at + 2] in _TAGS:
        at += 4
    if dump.wire_length is not None:
        return 0
    if octets[at : at + 3] == _IPV4:
        return at + 2 + int.from_bytes(octets[at + 4 : at + 6], "big") - len(octets)
    if octets[at : at + 2] == _IPV6 and octets[at + 2 : at + 3] and octets[at + 2] >> 4 == 6:
        payload = int.from_bytes(octets[at + 6 : at + 8], "big")
        return at + 2 + _HEADER_6 + payload - len(octets)
    return 0


def _with_fcs(parts: Sequence[Dump]) -> bool:
    """Whether the last octets are the FCS of all before them (IEEE 802.3 3.2.9, from memory)."""
    octets = b"".join(part.octets for part in parts)
    return zlib.crc32(octets[:-_FCS]) == int.from_bytes(octets[-_FCS:], "little")


def _goes_on(first: Dump, second: Dump) -> bool:
    """Whether a dump is as long as a buffer, and the next one begins in the middle of a frame."""
    size = len(first.octets)
    if size < _BUFFER or size % _STEP or not first.places.rows or not second.places.rows:
        return False
    near = 0 < second.places.rows[0].line - first.places.rows[-1].line <= _NEAR
    like = first.layout == second.layout and len(second.octets) <= size
    return near and like and content(second.octets) < 0


def _doubted(dump: Dump) -> Dump:
    """The dump, which may be a part of a frame: what is wrong with it stays said."""
    other = "one frame's, in several buffers"
    doubt = Doubt(_PARTS, "dumps of their own", other, False, dump.places.rows[0].line)
    return dump._replace(doubts=(*dump.doubts, doubt))


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
        _PARTS,
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
        doubts=(*(d for p in parts for d in p.doubts if d.about not in _SETTLED), said),
        at_edge=parts[-1].at_edge,
        gutter="differs" if "differs" in gutters else first.gutter,
        doubtful=tuple(doubtful),
        digits=sum(p.digits for p in parts),
        framing=sum(p.framing for p in parts),
    )
