"""Datagrams in parts: what has come of each, until it is whole (RFC 791 3.2, RFC 8200 4.5)."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from framecheck.core.finding import Verdict
from framecheck.core.frame import Doubt
from framecheck.core.layer import Layer
from framecheck.core.span import Range, merged
from framecheck.core.view import View
from framecheck.judging._measure import claimed, header, is_fragment
from framecheck.judging._memory import Subject, put

MOST_OPEN = 64
MOST_DATA = 65535
"""Octets of the largest datagram."""
MOST_FRAMES = 1024
"""A datagram of which nothing came for so many frames is given up: its number may come again."""
MOST_NAMED = 64
"""Parts of one datagram whose frames are remembered."""
_HEADER = 8

Key = tuple[int, bytes, bytes, int, int]
"""IP version, source, destination, identification, and over IPv4 the protocol."""


class Part(NamedTuple):
    """One fragment: which datagram it is of, and what of it."""

    key: Key
    offset: int
    """Of its data in the datagram's."""
    data: bytes
    last: bool
    protocol: int
    """What the data begin with, if this is the first part."""
    ip: Layer
    at: int
    """Octet of the frame at which the data begin."""

    @property
    def stop(self) -> int:
        """Behind its data in the datagram's."""
        return self.offset + len(self.data)


def part_of(view: View) -> Part | None:
    """The fragment that a frame is, all of it; None for any other frame."""
    ip = None
    for layer in view.layers:
        if layer.kind in ("ipv4", "ipv6") and not layer.quoted:
            ip = layer
            break
    # Asked four times a frame, and hardly any is a fragment: that first.
    if ip is None or not is_fragment(ip, view) or not ip.whole("destination_address"):
        return None
    own = ip if ip.kind == "ipv4" else view.find("ipv6-fragment")
    total, size = claimed(ip), header(ip)
    if own is None or total is None or size is None or not own.whole("identification"):
        return None
    at = ip.start // 8 + size if own is ip else own.start // 8 + _HEADER
    stop, offset = ip.start // 8 + total, own.number("fragment_offset")
    more = own.number("more_fragments")
    protocol = own.number("protocol" if own is ip else "next_header")
    if offset is None or more is None or protocol is None or total > ip.room or stop <= at:
        return None
    data = view.octets[at:stop]
    # What breaks these two has a rule of its own, and is discarded before it is put to the rest.
    if (more and len(data) % 8) or offset * 8 + len(data) > MOST_DATA:
        return None
    source, target = ip["source_address"].raw, ip["destination_address"].raw
    four = own is ip
    key = (4 if four else 6, source, target, own["identification"].number, protocol * four)
    return Part(key, offset * 8, data, not more, protocol, ip, at)


class Datagram:
    """What has come of one datagram."""

    __slots__ = ("abandoned", "data", "end", "first", "have", "newest", "parts", "protocol")

    def __init__(self, number: int) -> None:
        self.data = bytearray()
        self.have: tuple[Range, ...] = ()
        """Which octets of it have come."""
        self.parts: dict[Range, int] = {}
        """Which frame brought which part; the newest."""
        self.end: int | None = None
        """How many octets it has, once its last part has come."""
        self.protocol: int | None = None
        self.first = self.newest = number
        self.abandoned = False

    def is_copy(self, part: Part) -> bool:
        """Whether this very part has come before."""
        same = bytes(self.data[part.offset : part.stop]) == part.data
        return same and (part.offset, part.stop) in self.parts

    def overlapped(self, part: Part) -> tuple[Range, ...]:
        """The octets of the datagram that a part brings though they have come before."""
        if self.is_copy(part):
            return ()
        inside = ((max(a, part.offset), min(b, part.stop)) for a, b in self.have)
        return tuple((a, b) for a, b in inside if a < b)

    def brought(self, where: Range) -> int | None:
        """The number of a frame that brought some of these octets, if it is still known."""
        start, stop = where
        return next((n for (a, b), n in self.parts.items() if a < stop and start < b), None)

    def other_end(self, part: Part) -> int | None:
        """Where the datagram ends by what came before, if this part says otherwise; else None."""
        reach = max((b for _, b in self.have), default=0)
        if self.end is not None and (part.stop > self.end or (part.last and part.stop < self.end)):
            return self.end
        return reach if part.last and self.end is None and reach > part.stop else None

    def add(self, part: Part, number: int) -> None:
        """Put a part in its place; where it overlaps, the newer octets stay (RFC 791 3.2)."""
        if len(self.data) < part.stop:
            self.data.extend(bytes(part.stop - len(self.data)))
        self.data[part.offset : part.stop] = part.data
        self.have = merged((*self.have, (part.offset, part.stop)))
        put(self.parts, (part.offset, part.stop), number, MOST_NAMED)
        self.newest = number
        if part.last:
            self.end = part.stop
        if part.offset == 0:
            self.protocol = part.protocol

    def whole_with(self, part: Part) -> tuple[bytes, int] | None:
        """All octets and what they begin with, if this part is the last that lacked; else None."""
        end = part.stop if part.last else self.end
        protocol = part.protocol if part.offset == 0 else self.protocol
        contradicts = self.abandoned or self.other_end(part) is not None
        if end is None or protocol is None or contradicts or self.is_copy(part):
            return None
        if merged((*self.have, (part.offset, part.stop))) != ((0, end),):
            return None
        data = self.data[:end].ljust(end, b"\0")
        data[part.offset : part.stop] = part.data
        return bytes(data), protocol


class Fragments:
    """Datagrams that are not whole yet, and the last few that are."""

    def __init__(self) -> None:
        self._open: dict[Key, Datagram] = {}
        self._done: dict[Key, frozenset[Range]] = {}
        self._given_up = 0
        self._first: int | None = None
        self._now = 0

    def known(self, part: Part) -> Datagram | None:
        """The datagram that a part belongs to, as far as it has come; None for its first part."""
        found = self._open.get(part.key)
        return None if found is None or self._is_old(found) else found

    def note(self, number: int, view: View) -> None:
        """Keep a fragment; forget a datagram that it makes whole."""
        self._now = number
        part = part_of(view)
        if part is None or any(v.outcome == "mismatch" for v in _of_ip(view)):
            return  # what a host discards does not reach the others
        where = part.offset, part.stop
        if where in self._done.get(part.key, ()) and part.key not in self._open:
            return  # printed again, when the datagram was whole already
        found = self._open.get(part.key)
        if found is not None and self._is_old(found):
            self._give_up(part.key)
            found = None
        if found is None:
            found = Datagram(number)
        if found.whole_with(part) is not None:
            self._open.pop(part.key, None)
            put(self._done, part.key, frozenset((*found.parts, where)), MOST_OPEN)
            return
        # RFC 8200 4.5: parts that overlap end the datagram, those that come later included.
        found.abandoned |= part.key[0] == 6 and bool(found.overlapped(part))
        if not found.abandoned:
            found.add(part, number)
        found.newest = number
        if len(self._open) == MOST_OPEN and part.key not in self._open:
            self._give_up(next(iter(self._open)))
        put(self._open, part.key, found, MOST_OPEN)

    def doubts(self) -> tuple[Doubt, ...]:
        """One for all datagrams that did not become whole."""
        left = [d for d in self._open.values() if not d.abandoned]
        count = self._given_up + len(left)
        if not count:
            return ()
        first = min(n for n in (self._first, *(d.first for d in left)) if n is not None)
        many = "1 datagram" if count == 1 else f"{count} datagrams"
        taken = f"{many} of which not all came, the first from frame {first} on"
        return (Doubt("fragments", taken, "fragments that were not printed"),)

    def _is_old(self, datagram: Datagram) -> bool:
        return self._now - datagram.newest > MOST_FRAMES

    def _give_up(self, key: Key) -> None:
        found = self._open.pop(key)
        if not found.abandoned:
            self._given_up += 1
            self._first = found.first if self._first is None else min(self._first, found.first)


def _of_ip(view: View) -> Iterator[Verdict]:
    names = ("ipv4-header-checksum", "ipv4-total-length", "ipv6-payload-length", "fcs")
    return (v for v in view.verdicts if v.name in names)


FRAGMENTS = Subject(
    f"at most {MOST_OPEN} datagrams that are not whole yet, up to {MOST_DATA} octets of each",
    Fragments,
)
