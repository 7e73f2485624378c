"""Stand-ins of hardware addresses: of the documentation range, as long as it lasts.

Group and local bit stay, as do addresses that a standard gives a meaning. An address that a slip
makes of another one (a changed octet, two exchanged) gets what the same slip makes of its stand-in.
Source of the ranges: RFC 9542 2.1 (unicast 00-00-5E-00-53-00 to FF), from memory.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from framecheck.redaction._census import Counts, moved, related
from framecheck.redaction._key import chance

_NOBODY = bytes(6)
_MOST_TRIES = 2000
_MOST_SEEN = 1000
"""Addresses that others are held against."""


class _Slip(NamedTuple):
    how: str
    address: bytes
    parent: bytes
    """The address of which it may have come."""


def _slip(
    address: bytes, count: int, seen: dict[bytes, bytes], counts: Counts, stuck: int
) -> _Slip | None:
    for parent in seen if stuck else ():
        if not any((a ^ b) & ~stuck for a, b in zip(address, parent, strict=True)):
            return _Slip("octet", address, parent)  # in several octets, but by the same line
    for parent in seen:
        how = related(address, parent)
        if how and (how == "octet" or count < counts[parent]):
            return _Slip(how, address, parent)
    return None


def stands(address: bytes) -> bool:
    """Whether an address means the same everywhere: it is nobody's, or everybody's, once struck."""
    return (
        address == _NOBODY
        or address.count(0xFF) >= len(address) - 1
        or address[:5] == b"\x01\x80\xc2\x00\x00"
        or address[:5] == b"\x01\x00\x5e\x00\x00"
        or (address[:3] == b"\x33\x33\x00" and address[3] <= 1)
    )


class Hardware:
    """From each hardware address to its stand-in."""

    def __init__(
        self,
        key: bytes,
        counts: Counts,
        kept: set[bytes],
        is_group: Callable[[bytes], bool],
        *,
        apart: bool = False,
        stuck: int = 0,
    ) -> None:
        """``is_group``: whether an address is a group's of IP, and no business of this one.

        ``apart``: stand-ins are taken from beside the documentation range: between zeros, a bit
        turned in its prefix may look like one of its addresses with octets exchanged in pairs.
        ``stuck``: bits that a stuck line decides. Of an address that it has changed in one octet
        they stay, or the line would change others of its stand-in.
        """
        self._stuck = stuck
        self._key = key
        self._apart = apart
        self._images: dict[bytes, bytes] = {a: a for a in kept if len(a) == 6}
        self._taken = set(self._images.values())
        self._originals = set(counts)
        self.beyond = 0
        """Stand-ins for which the documentation range had no room."""
        families: dict[bytes, list[_Slip]] = {}
        seen: dict[bytes, bytes] = {}  # address -> the base of its family
        for address, count in sorted(counts.items(), key=lambda c: (-c[1], c[0])):
            if stands(address) or address in self._images or is_group(address):
                continue
            slip = _slip(address, count, seen, counts, stuck)
            base = address if slip is None else seen[slip.parent]
            families.setdefault(base, [])
            if slip is not None:
                families[base].append(slip)
            if len(seen) < _MOST_SEEN:
                seen[address] = base
        for base, slips in families.items():
            self._settle(base, slips)

    def of(self, address: bytes) -> bytes:
        """The stand-in of an address, the address itself where it is nobody's."""
        if stands(address):
            return address
        if address not in self._images:
            self._settle(address, [])
        return self._images[address]

    def _settle(self, base: bytes, slips: list[_Slip]) -> None:
        held = self._stuck if any(s.how == "octet" for s in slips) else 0
        for n, image in enumerate(self._candidates(base)):
            if held:
                image = bytes(i & ~held | b & held for i, b in zip(image, base, strict=True))
            images = {base: image}
            for how, address, parent in slips:
                images[address] = moved(how, address, parent, images[parent])
            found = set(images.values())
            free = not found & self._taken and not found & self._originals
            if (free and len(found) == len(images)) or n >= _MOST_TRIES:
                break
        self._images.update(images)
        self._taken |= found
        self.beyond += sum(i[1:5] != b"\x00\x5e\x00\x53" for i in found)

    def _candidates(self, base: bytes) -> Iterator[bytes]:
        draws = chance(self._key, "hardware", base)
        bits = base[0] & 3
        # 01-00-5E is where IPv4 has its groups: another group's address must not look like one.
        front = bytes((bits, 0, 0x5E)) if not bits & 1 else bytes((bits, 0, 0x53))
        last = list(range(256))
        draws.shuffle(last)
        for octet in last if not self._apart else ():
            yield front + bytes((0, 0x53, octet))
        while True:
            yield front + draws.randbytes(3)
