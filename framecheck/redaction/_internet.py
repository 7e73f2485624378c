"""Stand-ins of IPv4 addresses: networks become documentation networks, hosts move within them.

Blocks that have a meaning of their own keep it; the network's and the broadcast address stay at
their end, and so does what may be the end of a smaller network. Networks of one /16 stay in one
/16. Source of the ranges: RFC 5737 3; RFC 1918 3 (10/8) for what does not fit there; RFC 5771 9.2
for groups; the last two from memory.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from random import Random
from typing import Literal

from framecheck.redaction._census import Counts, moved, related
from framecheck.redaction._key import chance, octets

_DOCUMENTATION = (b"\xc0\x00\x02", b"\xc6\x33\x64", b"\xcb\x00\x71")
_ROOM = tuple(bytes((10, n)) for n in range(256))
_PRIVATE = ((10, 0, 255), (172, 16, 31), (192, 168, 168))
"""First octets of private networks (RFC 1918 3)."""
_DRAWS = 20
"""Networks of each private range that are drawn, of which one is taken."""
_ENDS = (0, 255)
Where = Literal["documentation", "own", "private", "hosts"]
"""Where networks come to stand: in documentation networks that the log has not; those of
documentation where they are, with other hosts; in private ones (RFC 1918 3); or like the first,
with the numbers that hosts have in them: one may equal the octet beside it."""


def stands(address: bytes) -> bool:
    """Whether an address means the same everywhere: nobody's, everybody's, or a mask."""
    number = int.from_bytes(address, "big")
    inverted = number ^ 0xFFFFFFFF
    mask = address[0] == 255 and not inverted & (inverted + 1)
    return mask or not number or address == b"\x7f\0\0\1" or address[:3] == b"\xe0\0\0"


def _block(address: bytes) -> int | None:
    """Octets at the front that have a meaning of their own and stay; None for other addresses."""
    if address[0] in (0, 127) or address[0] >= 240:
        return 1
    shared = address[0] == 100 and address[1] & 0xC0 == 64
    if address[:2] in (b"\xa9\xfe", b"\xc6\x12", b"\xc6\x13") or shared:
        return 2
    return 3 if address[:3] in (b"\xc0\x00\x00", b"\xc0\x58\x63") else None


class Internet:
    """From each IPv4 address to its stand-in."""

    def __init__(
        self,
        key: bytes,
        counts: Counts,
        kept: set[bytes],
        struck: Mapping[bytes, bytes],
        where: Where = "documentation",
    ) -> None:
        """``struck``: bits of addresses that stay as they are."""
        self._key = key
        self._where = where
        self._held: dict[bytes, list[int]] = defaultdict(lambda: [0, 0, 0, 0])
        for address, bits in struck.items():
            held = self._held[address[:3]]
            held[:] = [h | b for h, b in zip(held, bits, strict=True)]
        self._images: dict[bytes, bytes] = {a: a for a in kept if len(a) == 4}
        self._originals = set(counts)
        self._networks: dict[bytes, bytes] = {}
        self._wide: dict[bytes, bytes] = {}
        self._hosts: dict[bytes, int] = {}
        self._groups: dict[bytes, bytes] = {}
        self.beyond = 0
        """Networks for which the documentation networks had no room."""
        plain = [a for a in counts if self._is_plain(a)]
        slips = self._slips(plain, counts)
        self._weights: Counts = Counter()
        self._members: dict[bytes, set[int]] = defaultdict(set)
        for address in plain:
            if address not in slips:
                self._members[address[:3]].add(address[3])
                self._weights[address[:3]] += counts[address]
        self._place_networks()
        for address, (how, base) in slips.items():
            self._images[address] = moved(how, address, base, self.of(base))
        self._settle_struck(counts)

    def _settle_struck(self, counts: Counts) -> None:
        """Addresses that one octet put into a block of its own meaning: it does the same there."""
        common = [a for a in counts if counts[a] > 1 and self._is_plain(a)]
        for address in counts:
            if counts[address] > 1 or stands(address) or _block(address) is None:
                continue
            for base in common:
                if related(address, base) == "octet":
                    image = moved("octet", address, base, self.of(base))
                    if _block(image) == _block(address) and not stands(image):
                        self._images[address] = image
                    break

    def _is_plain(self, address: bytes) -> bool:
        return not (
            stands(address)
            or address in self._images
            or _block(address) is not None
            or address[0] >= 224
        )

    def _slips(self, plain: list[bytes], counts: Counts) -> dict[bytes, tuple[str, bytes]]:
        """Addresses seen once that a slip makes of one that was seen more often."""
        common = [a for a in plain if counts[a] > 1]
        found = {}
        for address in plain:
            if counts[address] > 1:
                continue
            for base in common:
                how = related(address, base)
                if how and not (how == "octet" and address[:3] == base[:3]):
                    found[address] = how, base
                    break
        return found

    def of(self, address: bytes) -> bytes:
        """The stand-in of an address, the address itself where it means the same everywhere."""
        if address in self._images:
            return self._images[address]
        if stands(address):
            return address
        front = _block(address)
        if front is not None:
            drawn = octets(self._key, 4 - front, "block", address[:front])
            rest = bytes(a ^ (b or 1) for a, b in zip(address[front:], drawn, strict=True))
            image = address[:front] + rest
        elif address[0] >= 224:
            low = self.group(bytes((address[1] & 0x7F,)) + address[2:])
            image = bytes((233, low[0] | 0x80)) + low[1:]
        else:
            image = self._network(address[:3]) + bytes((self._host(address[:3], address[3]),))
        self._images[address] = image
        return image

    def group(self, low: bytes) -> bytes:
        """The stand-in of the low 23 bits of a group, as hardware addresses carry them."""
        if not low[0] and not low[1]:
            return low
        if low not in self._groups:
            draws = chance(self._key, "group", low)
            image = b"\x7c\0" + draws.randbytes(1)
            while image in self._groups.values() or image == low:
                full = len(self._groups) > 200
                image = b"\x7c" + (draws.randbytes(2) if full else b"\0" + draws.randbytes(1))
            self._groups[low] = image
        return self._groups[low]

    def _place_networks(self) -> None:
        wide: dict[bytes, list[bytes]] = defaultdict(list)
        # Those seen most often first: what damage makes of an address is mostly seen once.
        order = sorted(self._members, key=lambda n: (-self._weights[n], n))
        for network in order:
            if self._weights[network] > 1:
                wide[network[:2]].append(network)
        for front, networks in wide.items():
            if len(networks) > 1:
                self._wide[front] = next(self._rooms())
        for network in order:
            self._network(network)

    def _rooms(self) -> Iterator[bytes]:
        taken = set(self._wide.values())
        yield from (r for r in _ROOM if r not in taken)
        while True:  # more networks than any room: any of them again
            yield from _ROOM

    def _network(self, network: bytes) -> bytes:
        if network not in self._networks:
            self._networks[network] = self._placed(network)
        return self._networks[network]

    def _placed(self, network: bytes) -> bytes:
        taken = set(self._networks.values())
        if network[:2] in self._wide:
            self.beyond += 1
            turn = octets(self._key, 1, "wide", network[:2])[0]
            return self._wide[network[:2]] + bytes((network[2] ^ turn,))
        draws = chance(self._key, "network", network)
        if self._where == "private":
            return self._drawn(network, draws, taken)
        ends = set(_ENDS)  # they stay: in another network only
        free = [n for n in _DOCUMENTATION if n not in taken]
        if self._where == "own" and network in free and not ends & self._members[network]:
            return network
        fresh = [n for n in free if n not in self._members]
        fresh = fresh or [n for n in free if n != network]
        holding = [n for n in fresh if self._holds(network, n)]
        if fresh and not holding:
            return self._drawn(network, draws, taken)
        if holding:
            return draws.choice(holding)
        self.beyond += 1
        for room in self._rooms():
            for third in range(256):
                if room + bytes((third,)) not in taken:
                    return room + bytes((third,))
        raise AssertionError("rooms never end")

    def _drawn(self, network: bytes, draws: Random, taken: set[bytes]) -> bytes:
        """A private network that is none of the log's, nor another one's stand-in.

        Of some that are drawn it is the one whose octets are most like those of the network, as
        text goes: a damaged frame may be read to have an address in a text. Bits that were turned
        are as they were, where any range has such.
        """
        drawn = []
        for number in range(_DRAWS * len(_PRIVATE)):
            front, low, high = _PRIVATE[number % len(_PRIVATE)]
            image = bytes((front, draws.randint(low, high))) + draws.randbytes(1)
            if image not in taken and image not in self._members and self._holds(network, image):
                drawn.append(image)
        if not drawn:
            return _ROOM[draws.randrange(256)] + draws.randbytes(1)
        return max(drawn, key=lambda image: _as_text(network, image))

    def _holds(self, network: bytes, image: bytes) -> bool:
        """Whether bits that were turned in the network are the same in its stand-in."""
        held = self._held.get(network, [0, 0, 0])
        return not any((a ^ b) & h for a, b, h in zip(network, image, held, strict=False))

    def _host(self, network: bytes, host: int) -> int:
        if host in _ENDS:
            return host
        if network not in self._hosts:
            self._hosts[network] = self._turn(network)
        turned = host ^ self._hosts[network]
        # The two that would land on an end take each other's place.
        return host ^ 0xFF if turned in _ENDS else turned

    def _turn(self, network: bytes) -> int:
        """What hosts of a network are changed by: none at its ends, none on an original."""
        image = self._networks[network]
        if self._where == "hosts" and image != network:
            return 0
        held = self._held[network][3] if network in self._held else 0
        order = [d for d in range(1, 255) if not d & held] or list(range(1, 255))
        chance(self._key, "hosts", network).shuffle(order)
        members = {h for h in self._members.get(network, ()) if h not in _ENDS}
        alike = [d for d in order if all(_may_end(h) == _may_end(h ^ d) for h in members)]
        inside = [d for d in alike or order if not {h ^ d for h in members} & set(_ENDS)]
        if self._where == "private":
            inside.sort(key=lambda d: -sum(_kind(h) == _kind(h ^ d) for h in members))
        for turn in inside:
            if not any(image + bytes((h ^ turn,)) in self._originals for h in members):
                return turn
        return (inside or order)[0]


def _as_text(a: bytes, b: bytes) -> int:
    """How many octets of two are of one kind, as a text would have them."""
    return sum(_kind(x) == _kind(y) for x, y in zip(a, b, strict=True))


def _kind(octet: int) -> int:
    if octet < 0x20:
        return 0
    return 3 if octet >= 0x7F else 1 + chr(octet).isalnum()


def _may_end(host: int) -> bool:
    """Whether a host's number may be the broadcast address of a network of 16 or more."""
    return host & 15 == 15
