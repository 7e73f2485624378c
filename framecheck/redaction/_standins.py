"""Octets of a frame with every private part exchanged for its stand-in; sums are not touched."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from copy import copy
from functools import cached_property

from framecheck.redaction._census import Census, moved, pairs
from framecheck.redaction._chatter import PLAIN
from framecheck.redaction._hardware import Hardware, stands
from framecheck.redaction._internet import Internet, Where
from framecheck.redaction._internet6 import Internet6
from framecheck.redaction._key import chance
from framecheck.redaction._parts import Part
from framecheck.redaction._substitution import Substitution

_KNOWN_LABELS = frozenset((b"arpa", b"in-addr", b"ip6", b"local", b"tcp", b"udp"))
"""Labels that a standard gives a meaning (RFC 1035 3.5, RFC 3596 2.5, RFC 6762 3, RFC 2782)."""
_NIBBLES = re.compile(rb"(?:\x01[0-9a-fA-F]){32}(?=\x03ip6\x04arpa\0)", re.IGNORECASE)
_QUADS = re.compile(rb"(?:[\x01-\x03][0-9]{1,3}){4}(?=\x07in-addr\x04arpa\0)", re.IGNORECASE)

_IPV6 = 16
_PREFIX = frozenset(bytes.fromhex("00005e0053"))
"""Octets of the hardware addresses for documentation (RFC 9542 2.1.2)."""


class Standins:
    """The stand-ins of one log."""

    def __init__(
        self,
        key: bytes,
        census: Census,
        where: Where = "documentation",
        kept: Collection[int] = (),
    ) -> None:
        """``kept``: octets of texts and names that stand for themselves."""
        self._key = key
        self.substitution = Substitution(key, kept)
        self._struck = _struck(census)
        self._internet = Internet(key, census.ipv4, census.kept, census.struck, where)
        self._hardware = Hardware(
            key,
            census.mac,
            census.kept,
            self._is_group,
            apart=where == "private",
            stuck=census.stuck,
        )
        self._internet6 = Internet6(key, census.ipv6, self._hardware.of, self._internet.of)
        self._by_role = {
            "mac": self._mac,
            "ipv4": self._internet.of,
            "ipv6": self._internet6.of,
        }
        known = [
            (role, value)
            for role, values in (
                ("ipv6", census.ipv6),
                ("mac", census.mac),
                ("ipv4", census.ipv4),
            )
            for value in values
            if self._by_role[role](value) != value and not _is_common(value)
        ]
        self._labels = _any_of(census.labels)
        self._base = census.base
        self._roles = {value: role for role, value in known}
        self._known = _any_of(value for _, value in known)
        self._names = _named(census)
        self._tails = {v[2:]: v for v in census.mac}

    def worded(self, key: bytes, known: re.Pattern[bytes] | None) -> Standins:
        """The same addresses, and other texts and names; ``known``: addresses told in texts."""
        other = copy(self)
        other.substitution = Substitution(key)
        other._known = known
        return other

    def known_to(self, other: Standins) -> re.Pattern[bytes] | None:
        """The addresses that another one knows too, as they are told in texts."""
        return _any_of(value for value in self._roles if value in other._roles)

    def order(self, number: int) -> list[int]:
        """The values of an octet, but for zeros and ones, in an order of its own per number."""
        values = list(range(1, 255))
        chance(self._key, "order", number).shuffle(values)
        return values

    @property
    def beyond(self) -> tuple[int, int]:
        """Hardware addresses and networks for which the documentation ranges had no room."""
        return self._hardware.beyond, self._internet.beyond

    def _group(self, address: bytes) -> bytes | None:
        """The stand-in of a hardware address that a group of IP is mapped to; None for others."""
        if not self._is_group(address) or stands(address):
            return None
        if address[:2] == b"\x33\x33":
            return address[:3] + self._internet6.low(address[3:])
        return address[:3] + self._internet.group(address[3:])

    def _is_group(self, address: bytes) -> bool:
        """Whether a hardware address is one that a group of IP is mapped to."""
        return _has_group_form(address) and address not in self._struck

    def _mac(self, address: bytes) -> bytes:
        return self._group(address) or self._hardware.of(address)

    def address(self, role: str, value: bytes) -> bytes:
        """The stand-in of an address; ``role``: ``mac``, ``ipv4`` or ``ipv6``."""
        return self._by_role[role](value)

    def text(self, value: bytes) -> bytes:
        """Text and payload: known addresses by their stand-ins, all else exchanged."""
        if self._known is None:
            return self.substitution.of(value)
        out, at = [], 0
        for m in self._known.finditer(value):
            out += [self.substitution.of(value[at : m.start()]), self._instead(m[0])]
            at = m.end()
        return b"".join((*out, self.substitution.of(value[at:])))

    def exchanged(self, value: bytes) -> bytes:
        """An address of the log by its stand-in; all else as it is."""
        return self._instead(value) if value in self._roles else value

    def leaves(self, octets: bytes, *, names: bool) -> bool:
        """Whether an address or name of the log that has a stand-in stands in some octets."""
        return next(self.left(octets, names=names), None) is not None

    def left(self, octets: bytes, *, names: bool) -> Iterator[tuple[int, int]]:
        """First octets and those behind the last of what is left: addresses, and names if asked.

        As they are, from behind, or with the octets of each word exchanged (an octet more at
        either end, then).
        """
        if names and self._labels is not None:
            yield from (m.span() for m in self._labels.finditer(octets.lower()))
        if self._known is None:
            return
        yield from (m.span() for m in self._known.finditer(octets))
        size = len(octets)
        # Stand-ins begin with the documentation prefix: turned, it looks like some addresses.
        for m in self._turned(octets[::-1]):
            yield size - m.end(), size - m.start()
        for by in (0, 1):
            for m in self._turned(pairs(octets[by:])):
                yield max(0, m.start() + by - 1), min(size, m.end() + by + 1)

    def _turned(self, octets: bytes) -> Iterator[re.Match[bytes]]:
        assert self._known is not None
        return (m for m in self._known.finditer(octets) if not _PREFIX.issuperset(m[0]))

    def known_names(self, text: str) -> str:
        """Chatter with the names that the frames hold exchanged as they are there.

        Long words of names also where others begin with them, or end.
        """
        if self._names is None:
            return text
        return self._names.sub(lambda m: self.substitution.of(m[0].encode()).decode(), text)

    def _instead(self, value: bytes) -> bytes:
        return self.address(self._roles[value], value)

    def of(self, data: bytes, found: Iterable[Part]) -> bytearray:
        """The frame with its parts exchanged; paddings are left to the caller."""
        changed = bytearray(data)
        for part in found:
            changed[part.start : part.stop] = self._changed(part, data[part.start : part.stop])
        return changed

    def _changed(self, part: Part, value: bytes) -> bytes:
        if part.role in self._by_role:
            return self.address(part.role, value)
        if part.role == "name":
            return self.name(value)
        if part.role == "names":
            return self._unread(value)
        if part.role == "tail":
            whole = self._tails.get(value)
            return value if whole is None else self._mac(whole)[2:]
        if part.role == "front":
            return self._internet.of(value.ljust(4, b"\0"))[: len(value)] if value else value
        if part.role == "front6":
            return self._internet6.of(value.ljust(16, b"\0"))[: len(value)]
        return value if part.role == "padding" else self.text(value)

    def name(self, value: bytes) -> bytes:
        """Labels exchanged one by one, lengths and pointers kept (RFC 1035 3.1).

        A name of which one octet was struck goes with the name that it was.
        """
        base = self._base(value)
        if base not in (None, value):
            return moved("octet", value, base, self.name(base))
        out = bytearray(value)
        for m in _NIBBLES.finditer(value):
            digits = value[m.start() + 1 : m.end() : 2][::-1].decode()
            image = self._internet6.of(bytes.fromhex(digits)).hex()[::-1].encode()
            return value[: m.start()] + b"".join(b"\1%c" % c for c in image) + value[m.end() :]
        for m in _QUADS.finditer(value):
            quad = self._quad(m[0])
            if quad is not None:
                return value[: m.start()] + quad + value[m.end() :]
        for start, stop in _labels(value):
            label = value[start:stop]
            if label[:1] == b"_":  # a service's name, as SRV records have it
                start, label = start + 1, label[1:]
            if label.lower() not in _KNOWN_LABELS:
                out[start:stop] = self.substitution.of(label)
        return bytes(out)

    def _unread(self, value: bytes) -> bytes:
        """Records that could not be read: labels up to the length that cannot be, then text."""
        stop = max((b for _, b in _labels(value)), default=0) + 1
        return self.name(value[:stop]) + self.text(value[stop:])

    def _quad(self, value: bytes) -> bytes | None:
        """An IPv4 address as labels, last octet first; None when its stand-in is wider."""
        labels = [value[a:b] for a, b in _labels(value)]
        if len(labels) != 4 or not all(x.isdigit() and int(x) < 256 for x in labels):
            return None
        image = self._internet.of(bytes(int(x) for x in reversed(labels)))
        shown = [b"%d" % o for o in reversed(image)]
        if [len(x) for x in shown] != [len(x) for x in labels]:
            return None
        return b"".join(bytes((len(x),)) + x for x in shown)


class Choice:
    """The stand-ins of a log, and those of frames that need some of their own."""

    def __init__(
        self,
        key: bytes,
        census: Census,
        turns: Mapping[int, int],
        guard: Standins,
        where: Where = "documentation",
        kept: Collection[int] = (),
    ) -> None:
        """The choice of a key.

        ``turns``: numbers of own choices, per frame number; of ``KINDS`` in a row one is of other
        texts alone. ``guard``: knows what must not be left.
        """
        self.guard = guard
        self._key = key
        self._census = census
        self._turns = turns
        self._own: dict[int, Standins] = {}
        self.common = Standins(key, census, where, kept)

    def of(self, number: int) -> Standins:
        """The stand-ins of a frame."""
        turn = self._turns.get(number, 0)
        if not turn:
            return self.common
        if turn not in self._own:
            where = _PLACES[turn % len(_PLACES)]
            key = self._key + b"turn %d" % turn
            self._own[turn] = Standins(key, self._census, where) if where else self.worded(turn)
        return self._own[turn]

    def draws(self, number: int) -> Iterator[Standins]:
        """The stand-ins of a frame, then others of its own; none where it has to have no other.

        Only one kind of choice is drawn again: it takes as long as many others.
        """
        turn = self._turns.get(number, 0)
        if _PLACES[turn % len(_PLACES)] != "private":
            return
        yield self.of(number)
        for n in range(_MOST_DRAWS):
            key = self._key + b"turn %d, draw %d" % (turn, n)
            yield Standins(key, self._census, _DRAWN[n % len(_DRAWN)])

    def settle(self, number: int, standins: Standins) -> None:
        """Let a frame have these stand-ins."""
        self._own[self._turns[number]] = standins

    def worded(self, turn: int) -> Standins:
        """The same addresses with other texts, in which only those of sound frames are told.

        What a damaged frame has where addresses stand may be a part of another frame's text.
        """
        return self.common.worded(self._key + b"texts %d" % turn, self._sure)

    @cached_property
    def _sure(self) -> re.Pattern[bytes] | None:
        return self.common.known_to(self.guard)


_PLACES: tuple[Where | None, ...] = ("own", None, "documentation", "private", "hosts")
KINDS = len(_PLACES)
"""Kinds of own choices of a frame, by their number; None: other texts alone."""
_DRAWN: tuple[Where, ...] = ("private", "documentation", "own", "hosts")
_MOST_DRAWS = 48
"""Stand-ins of one frame that are held against what its rules say of it alone."""


def _has_group_form(address: bytes) -> bool:
    return address[:2] == b"\x33\x33" or (address[:3] == b"\x01\x00\x5e" and address[3] < 0x80)


def _struck(census: Census) -> set[bytes]:
    """Addresses that look like a group's, which no frame names: a station's with its group bit."""
    low = {bytes((a[1] & 0x7F,)) + a[2:] for a in census.ipv4 if a[0] >= 224}
    return {
        a
        for a in census.mac
        if a[:3] == b"\x01\x00\x5e" and a[3:] not in low and b"\0" + a[1:] in census.mac
    }


def _is_common(value: bytes) -> bool:
    """Whether an address may well be something else in a payload: zeros, a network, or text.

    Damaged frames have text where sound ones have addresses.
    """
    if len(value) == _IPV6 and not any(value[:12]):
        return True
    return value.count(0) >= len(value) - 2 or all(0x20 <= o < 0x7F for o in value)


def _named(census: Census) -> re.Pattern[str] | None:
    """Names in chatter: whole words, behind colours too, and longer ones within words."""
    labels = {n.decode() for n in census.labels}
    words, parts = (
        "|".join(map(re.escape, sorted(found, key=lambda n: (-len(n), n))))
        for found in (census.names - PLAIN, labels - PLAIN)
    )
    front = r"(?:(?<![0-9A-Za-z])|(?<=\x1b\[[0-9]m)|(?<=\x1b\[[0-9]{2}m))"
    ways = [rf"{front}(?:{words})(?![0-9A-Za-z])"] if words else []
    ways += [parts] if parts else []
    return re.compile("|".join(ways), re.IGNORECASE) if ways else None


def _labels(value: bytes) -> Iterator[tuple[int, int]]:
    at = 0
    while at < len(value):
        size = value[at]
        if size >= 0xC0:
            at += 2
            continue
        if size > 63:
            return
        yield at + 1, min(at + 1 + size, len(value))
        at += 1 + size


def _any_of(values: Iterable[bytes]) -> re.Pattern[bytes] | None:
    ordered = sorted(set(values), key=lambda v: (-len(v), v))
    return re.compile(b"|".join(map(re.escape, ordered)), re.DOTALL) if ordered else None
