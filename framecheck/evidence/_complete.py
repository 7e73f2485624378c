"""Lost octets of a frame, put back as far as constants, lengths and sums say what they were.

A sum tells one word at most: two octets that do not count alike in it. What is found that way is
no proof any more, and is charged to the sum.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from framecheck.core.finding import Host
from framecheck.evidence._quick import SHORTEST, Quick, Sum, look

_TYPES = (0x0800, 0x86DD, 0x0806)
_PROTOCOLS = (17, 6, 1, 2)
_FLAGS = (0x4000, 0x0000)
_HEADER = 20
_ALL = 0xFF
_MOST_SPENT = 8
"""Bits of a sum that may go into lost octets: the rest confirms them."""


class Completed(NamedTuple):
    """A frame whose lost octets were put back."""

    octets: bytes
    unknown: tuple[int, ...]
    """Octets that nothing tells."""
    spent: dict[str, int]
    """Bits that solving took from each sum."""
    bits: float
    """Evidence that came with it: known bits that agreed, less what was guessed."""


class _Draft:
    """A frame in the making."""

    __slots__ = ("bits", "guessed", "known", "lost", "octets", "solved", "spent")

    def __init__(self, octets: bytes, lost: tuple[int, ...], known: int) -> None:
        self.octets = bytearray(octets)
        self.lost = set(lost)
        self.known = known
        self.spent: dict[str, int] = {}
        self.guessed: set[int] = set()
        self.solved: dict[str, set[int]] = {}
        self.bits = 0.0

    def copy(self) -> _Draft:
        """Another one, to try something on."""
        other = _Draft(bytes(self.octets), tuple(self.lost), self.known)
        other.spent, other.bits = dict(self.spent), self.bits
        other.guessed = set(self.guessed)
        other.solved = {name: set(places) for name, places in self.solved.items()}
        return other

    def put(self, at: int, value: int) -> bool:
        """Put back one lost octet; whether the bits of it that arrived agree."""
        if (self.octets[at] ^ value) & self.known:
            return False
        self.octets[at] = value
        self.lost.discard(at)
        return True

    def constant(self, at: int, octets: bytes) -> bool:
        """Put back those of a row that are lost; whether all others there are as in it.

        What was put there is no evidence that it was there.
        """
        self.bits -= 8.0 * len(self.lost & set(range(at, at + len(octets))))
        return at + len(octets) <= len(self.octets) and all(
            self.put(at + i, octet) if at + i in self.lost else self.octets[at + i] == octet
            for i, octet in enumerate(octets)
        )

    def fill(self, at: int, octets: bytes) -> bool:
        """Put back those of a row that are lost; whether the bits of them that arrived agree."""
        return all(
            self.constant(at + i, octets[i : i + 1])
            for i in range(len(octets))
            if at + i in self.lost
        )


def complete(octets: bytes, lost: tuple[int, ...], known: int, host: Host) -> Iterator[Completed]:
    """Every way to put the lost octets back that constants and lengths allow.

    ``octets`` holds zeros, or the bits under the mask ``known``, where something is lost.
    """
    first = _Draft(octets, lost, known)
    if not lost:
        yield Completed(octets, (), {}, 0.0)
        return
    for typed in _typed(first):
        for draft in _internet(typed):
            if not _transport(draft):
                continue
            _link(draft, host)
            _padding(draft)
            unknown = tuple(sorted(draft.lost | _unconfirmed(draft)))
            yield Completed(bytes(draft.octets), unknown, draft.spent, draft.bits)


def _unconfirmed(draft: _Draft) -> set[int]:
    """What was put back from a sum that has nothing left to confirm it with.

    Another damage anywhere in that sum would have given other octets, and nobody would know.
    """
    spent = [name for name, bits in draft.spent.items() if bits > _MOST_SPENT]
    return {i for name in spent for i in draft.solved.get(name, ())}


def _typed(draft: _Draft) -> Iterator[_Draft]:
    """With each type that can stand in a type field that is lost."""
    if not draft.lost & {12, 13}:
        yield draft
        return
    for kind in _TYPES:
        other = draft.copy()
        if other.constant(12, kind.to_bytes(2, "big")):
            other.bits -= 2.0
            yield other


def _internet(draft: _Draft) -> Iterator[_Draft]:
    at = 18 if draft.octets[12:14] == b"\x81\x00" else 14
    if draft.octets[at - 2 : at] == b"\x08\x06":
        if draft.constant(at, b"\x00\x01\x08\x00\x06\x04\x00") and draft.constant(
            at + 8, bytes(draft.octets[6:12]) if not draft.lost & set(range(6, 12)) else b""
        ):
            yield draft
        return
    if draft.octets[at - 2 : at] != b"\x08\x00" or len(draft.octets) < at + _HEADER:
        yield draft
        return
    header = range(at, at + _HEADER)
    gone = draft.lost & set(header)
    if not gone:
        yield draft
        return
    protocols = _PROTOCOLS if at + 9 in gone else (draft.octets[at + 9],)
    for protocol in protocols:
        for total in _totals(draft, at, protocol):
            for flags in _FLAGS if {at + 6, at + 7} <= gone and len(gone) > 4 else (None,):
                other = draft.copy()
                other.bits -= (len(protocols) > 1) * 2 + (flags is not None)
                if _filled(other, at, protocol, total, flags):
                    yield other


def _totals(draft: _Draft, at: int, protocol: int) -> Iterator[int]:
    if not draft.lost & {at + 2, at + 3}:
        yield int.from_bytes(draft.octets[at + 2 : at + 4], "big")
        return
    size = len(draft.octets)
    yield size - at
    length = at + _HEADER + 4
    if protocol == 17 and not draft.lost & {length, length + 1} and size == SHORTEST:
        total = _HEADER + int.from_bytes(draft.octets[length : length + 2], "big")
        if total != size - at:
            yield total


def _filled(draft: _Draft, at: int, protocol: int, total: int, flags: int | None) -> bool:
    """The constants of an IPv4 header, then what its checksum says."""
    length = (total & 0xFFFF).to_bytes(2, "big")
    rows = [(at, b"\x45"), (at + 2, length), (at + 9, bytes((protocol,)))]
    if flags is not None:
        rows.append((at + 6, flags.to_bytes(2, "big")))
        draft.guessed |= {at + 6, at + 7}
    if not all(draft.fill(place, row) for place, row in rows):
        return False
    header = Sum("ipv4-header-checksum", ((at, at + _HEADER),))
    if at + 1 in draft.lost and not _alone(draft, header):
        draft.bits -= 1.0
        draft.guessed.add(at + 1)
        if not draft.put(at + 1, 0):
            return False
    solving = draft.lost & set(_alone(draft, header))
    if not _solved(draft, header):
        return False
    if solving and draft.guessed:
        # One sum cannot tell a word and confirm a guess: another guess gives another word.
        draft.lost |= solving | draft.guessed
        draft.spent[header.name] = 16
    return True


def _alone(draft: _Draft, total: Sum) -> list[int]:
    """The lost octets that a sum covers, if it can tell them; else none."""
    gone = [i for i in draft.lost if total.weight(i)]
    weights = {total.weight(i) for i in gone}
    return gone if len(weights) == len(gone) <= 2 else []


def _solved(draft: _Draft, total: Sum) -> bool:
    """Put back what the sum tells; whether that can be. What it cannot tell stays lost."""
    gone = _alone(draft, total)
    if not gone:
        return True
    before = {i: draft.octets[i] for i in gone}
    for i in gone:
        draft.octets[i] = 0
    word = -total.off(bytes(draft.octets)) % 0xFFFF
    for i, octet in before.items():
        draft.octets[i] = octet
    spent = 0
    for i in gone:
        weight = total.weight(i)
        value = word // weight & _ALL
        word -= value * weight
        if not draft.put(i, value):
            return False
        spent += 8 - draft.known.bit_count()
    draft.spent[total.name] = draft.spent.get(total.name, 0) + spent
    draft.solved.setdefault(total.name, set()).update(gone)
    return word == 0


def _transport(draft: _Draft) -> bool:
    """The length of UDP, then what the checksum of the transport says."""
    seen = look(bytes(draft.octets))
    if seen is None or not draft.lost:
        return seen is not None
    at = seen.transport
    udp = seen.end > at and _carries_udp(draft, seen)
    if udp and draft.lost & {at + 4, at + 5}:
        length = (seen.end - at).to_bytes(2, "big")
        if not draft.fill(at + 4, length):
            return False
        seen = look(bytes(draft.octets)) or seen
    if udp and draft.lost >= {at + 6, at + 7}:
        draft.octets[at + 6 : at + 8] = b"\0\1"  # so that the sum is looked at
        seen = look(bytes(draft.octets)) or seen
        draft.octets[at + 6 : at + 8] = b"\0\0"
    return all(_solved(draft, total) for total in seen.sums)


def _carries_udp(draft: _Draft, seen: Quick) -> bool:
    four = draft.octets[seen.internet] >> 4 == 4
    return draft.octets[seen.internet + (9 if four else 6)] == 17


def _link(draft: _Draft, host: Host) -> None:
    """The destination address, where the network header, the host or the rest of it tells it."""
    if not draft.lost & set(range(6)):
        return
    seen = look(bytes(draft.octets))
    wanted = _destination(bytes(draft.octets), seen) if seen is not None else None
    for address in (wanted, host.mac):
        if address is None:
            continue
        agreeing = [i for i in range(6) if i not in draft.lost]
        if all(draft.octets[i] == address[i] for i in agreeing) and all(
            (draft.octets[i] ^ address[i]) & draft.known == 0 for i in draft.lost if i < 6
        ):
            for i in range(6):
                if i in draft.lost:
                    draft.put(i, address[i])
            return


def destination_bits(octets: bytes, seen: Quick, unknown: tuple[int, ...], host: Host) -> float:
    """How well the addresses of the link go with the rest, in bits."""
    known = [i for i in range(6) if i not in unknown]
    bits = -10.0 if octets[6] & 1 and 6 not in unknown else 0.0
    right = [_destination(octets, seen), host.mac]
    if any(a is not None and all(octets[i] == a[i] for i in known) for a in right):
        return bits + 8.0 * len(known)
    return bits - (20.0 if right[0] is not None else 0.0)


def _destination(octets: bytes, seen: Quick) -> bytes | None:
    """The hardware address that goes with a group or broadcast (RFC 1112 6.4, RFC 2464 7)."""
    if octets[seen.internet] >> 4 == 4:
        address = octets[seen.internet + 16 : seen.internet + 20]
        if address == b"\xff" * 4:
            return b"\xff" * 6
        if len(address) == 4 and address[0] >> 4 == 14:
            return b"\x01\x00\x5e" + bytes((address[1] & 127,)) + address[2:]
    elif octets[seen.internet] >> 4 == 6:
        address = octets[seen.internet + 24 : seen.internet + 40]
        if len(address) == 16 and address[0] == _ALL:
            return b"\x33\x33" + address[12:]
    return None


def _padding(draft: _Draft) -> None:
    """Padding is zeros unless some of it is not."""
    seen = look(bytes(draft.octets))
    if seen is None or not draft.lost:
        return
    behind = [i for i in draft.lost if i >= seen.end]
    if behind and not any(
        o for i, o in enumerate(draft.octets[seen.end :], seen.end) if i not in draft.lost
    ):
        for i in behind:
            draft.put(i, 0)
