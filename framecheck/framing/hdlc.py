"""PPP in HDLC-like framing: flags, escapes, FCS-16; several frames back to back (RFC 1662)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from framecheck.core.frame import Dump, Envelope, Frame
from framecheck.core.sums import FCS16_RESIDUE, fcs16
from framecheck.core.text import Places, Row

FLAG = 0x7E
ESCAPE = 0x7D
_SHORTEST = 4
"""Octets between two flags: a protocol number and an FCS at least."""

Octets = list[tuple[int, int, int]]
"""(value, index in the dump of its first printed octet, of its last)."""


def parts(dump: Dump) -> list[Frame]:
    """The frames between the flags of a dump, unescaped; empty when it is no such dump.

    It is one when what stands between two flags has a sound FCS-16, or begins with address FF
    and control 03: by chance once in 65,536 strings.
    """
    if FLAG not in dump.octets:
        return []
    found = list(_between_flags(dump.octets))
    if not any(_is_ppp([o[0] for o in octets]) for octets, _, _ in found):
        return []
    return [_frame(dump, octets, opened, closed) for octets, opened, closed in found]


def _between_flags(octets: bytes) -> Iterator[tuple[Octets, int | None, int | None]]:
    start = 0
    opened: int | None = None
    for at in [i for i, o in enumerate(octets) if o == FLAG] + [len(octets)]:
        if at - start >= _SHORTEST:
            yield _unescaped(octets, start, at), opened, at if at < len(octets) else None
        opened, start = at, at + 1


def _unescaped(octets: bytes, start: int, stop: int) -> Octets:
    found: Octets = []
    at = start
    while at < stop:
        if octets[at] == ESCAPE and at + 1 < stop:
            found.append((octets[at + 1] ^ 0x20, at, at + 1))
            at += 2
        else:
            found.append((octets[at], at, at))
            at += 1
    return found


def _is_ppp(octets: Sequence[int]) -> bool:
    return octets[:2] == [0xFF, 0x03] or fcs16(bytes(octets)) == FCS16_RESIDUE


def _frame(dump: Dump, octets: Octets, opened: int | None, closed: int | None) -> Frame:
    flag = bytes((FLAG,))
    head = () if opened is None else (Envelope("flag", "head", flag),)
    tail = () if closed is None else (Envelope("flag", "tail", flag),)
    data = bytes(o[0] for o in octets)
    sum_ = (Envelope("fcs", "tail", data[-2:]),) if closed is not None else ()
    kept = [(FLAG, opened, opened)] if opened is not None else []
    kept += octets
    kept += [(FLAG, closed, closed)] if closed is not None else []
    printed = dump._replace(
        octets=bytes(o[0] for o in kept),
        places=Places(_rows(dump.places, kept)),
        at_edge=dump.at_edge and closed is None,
        at_start=False,
        claimed_length=None,
    )
    inner = data[:-2] if closed is not None else data
    return Frame(printed, inner, "hdlc", (*head, *sum_, *tail), dump.doubts)


def _rows(places: Places, octets: Sequence[tuple[int, int | None, int | None]]) -> list[Row]:
    """The log's rows of octets that are joined: an escaped one ends where its second one ends."""
    rows: list[Row] = []
    line = None
    columns: list[int] = []
    ends: list[int] = []
    for index, (_, first, last) in enumerate(octets):
        begin, end = places.at(first or 0), places.at(last or 0)
        if begin is None or end is None:
            return []
        if begin.line != line:
            columns, ends, line = [], [], begin.line
            rows.append(Row(line, index, columns, ends))
        columns.append(begin.column)
        ends.append(end.end_column if end.line == begin.line else begin.end_column)
    return rows
