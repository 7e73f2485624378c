"""Stand-ins of IPv6 addresses: global ones become documentation addresses, hosts keep their link.

Site, network and host are exchanged by themselves, so that addresses of one network stay in one
and a host's addresses keep their common end. The last 24 bits are exchanged alike wherever they
stand, because solicited-node groups and their hardware addresses carry them (RFC 4291 2.7.1). An
identifier made of a hardware address goes with that address. Range: RFC 3849 2.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable

from framecheck.redaction._census import Counts, embedded, moved, related
from framecheck.redaction._key import chance, octets

_DOCUMENTATION = b"\x20\x01\x0d\xb8"
_SOLICITED = b"\xff\x02" + bytes(9) + b"\x01\xff"
_MAPPED = bytes(10) + b"\xff\xff"
Image = Callable[[bytes], bytes]


class Internet6:
    """From each IPv6 address to its stand-in."""

    def __init__(self, key: bytes, counts: Counts, hardware: Image, internet: Image) -> None:
        self._key = key
        self._hardware = hardware
        self._internet = internet
        self._images: dict[bytes, bytes] = {}
        self._low: dict[bytes, bytes] = {}
        self._sites: dict[bytes, bytes] = {}
        self._originals = {a[4:6] for a in counts if a[:4] == _DOCUMENTATION}
        self._lows = {a[13:] for a in counts}
        for address in sorted(counts):
            if address[11:13] == b"\xff\xfe":
                self._low[address[13:]] = hardware(embedded(address[8:]))[3:]
        shared = Counter(a[13:] for a in counts)
        common = [a for a in sorted(counts) if counts[a] > 1 or a[:13] == _SOLICITED]
        for address in sorted(a for a in counts if counts[a] == 1 and a[:13] != _SOLICITED):
            for base in common:
                how = related(address, base)
                # A neighbor's address, which its own group tells too, was not struck.
                if how and (address[13:] == base[13:] or shared[address[13:]] == 1):
                    self._images[address] = moved(how, address, base, self.of(base))
                    break

    def of(self, address: bytes) -> bytes:
        """The stand-in of an address, the address itself where it means the same everywhere."""
        if address not in self._images:
            self._images[address] = self._image(address)
        return self._images[address]

    def low(self, low: bytes) -> bytes:
        """The stand-in of the last 24 bits of an address."""
        if not any(low):
            return low
        if low not in self._low:
            draws = chance(self._key, "low", low)
            size = 3 if low[0] else 2 if low[1] else 1
            taken = set(self._low.values()) | self._lows
            for n in range(1000):
                image = bytes(3 - size) + draws.randbytes(size)
                if any(image) and (image not in taken or n > 600) and image != low:
                    break
            self._low[low] = image
        return self._low[low]

    def _image(self, address: bytes) -> bytes:
        if not any(address[:15]) and address[15] <= 1:
            return address
        if address[0] == 0xFF:
            return self._group(address)
        if address[:12] == _MAPPED or (not any(address[:12]) and any(address[12:14])):
            return address[:12] + self._internet(address[12:])
        return self._front(address[:8]) + self._interface(address[8:])

    def _group(self, address: bytes) -> bytes:
        if address[:13] == _SOLICITED:
            return address[:13] + self.low(address[13:])
        if not any(address[2:13]) and address[13] <= 1:
            return address
        struck = bytes(a ^ b for a, b in zip(address, _SOLICITED, strict=False))
        if int.from_bytes(struck, "big").bit_count() == 1:
            return address[:13] + self.low(address[13:])
        middle = self._turned("group", address[2:13])
        # The hardware address of a group carries these four, and some of those are everybody's.
        known = not address[12] and address[13] <= 1
        return address[:2] + middle + (address[13:] if known else self.low(address[13:]))

    def _front(self, front: bytes) -> bytes:
        if front[0] == 0xFE or front[:4] == b"\x20\x01\0\0" or front[:2] == b"\x01\x00":
            return front[:4] + self._turned("special", front[4:])
        if front[:2] == b"\x20\x02":
            return front[:2] + self._internet(front[2:6]) + self._turned("six", front[6:])
        if front[0] & 0xFE == 0xFC:
            return front[:1] + self._turned("local", front[1:])
        return _DOCUMENTATION + self._site(front[:6]) + self._turned("network", front[6:])

    def _site(self, site: bytes) -> bytes:
        if site == _DOCUMENTATION + b"\0\0":
            return site[4:]  # nobody's already
        if site not in self._sites:
            draws = chance(self._key, "site", site)
            taken = set(self._sites.values()) | self._originals
            image = draws.randbytes(2)
            while image in taken and len(taken) < 60_000:
                image = draws.randbytes(2)
            self._sites[site] = image
        return self._sites[site]

    def _interface(self, interface: bytes) -> bytes:
        if not any(interface):
            return interface
        if interface[3:5] == b"\xff\xfe":
            hardware = self._hardware(embedded(interface))
            return bytes((hardware[0] ^ 2,)) + hardware[1:3] + b"\xff\xfe" + hardware[3:]
        return self._turned("interface", interface[:5]) + self.low(interface[5:])

    def _turned(self, what: str, part: bytes) -> bytes:
        """Octets changed by drawn ones; zeros stay, and so does what ends in them."""
        drawn = octets(self._key, len(part), what)
        return bytes(p and ((p ^ (d or 1)) or d) for p, d in zip(part, drawn, strict=True))
