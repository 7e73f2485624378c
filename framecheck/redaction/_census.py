"""Which addresses a log holds, and how often: what the choice of stand-ins needs to know."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field

Counts = Counter[bytes]
_NAME = re.compile(rb"[0-9A-Za-z]{3,63}")
_LABEL = re.compile(rb"(?<![a-z_])(?!arpa|addr|local)[a-z]{5,}")
_HOST = re.compile(rb"[A-Za-z]+-?[0-9]+|[A-Za-z]+(?:-[0-9A-Za-z]+)+")
"""A text that is one word with a number or a hyphen, as hosts are called, and no fill."""
_MOST_NAMES = 5000
_MOST_ALIKE = 100
"""Names of one length."""
_LONGEST_NAME = 255
ADDRESSES = {"mac": 6, "ipv4": 4, "ipv6": 16}
"""Roles of addresses, with their octets."""


@dataclass(slots=True)
class Census:
    """Addresses by kind, with the number of places where each stands."""

    mac: Counts = field(default_factory=Counter)
    ipv4: Counts = field(default_factory=Counter)
    ipv6: Counts = field(default_factory=Counter)
    names: set[str] = field(default_factory=set)
    """Words of names and texts, in small letters, that chatter may repeat."""
    labels: set[bytes] = field(default_factory=set)
    """Longer words of names alone."""
    whole: dict[int, list[bytes]] = field(default_factory=dict)
    """Names as they are sent, by their length; of names that differ in one octet, the first."""
    struck: dict[bytes, bytes] = field(default_factory=dict)
    """IPv4 addresses of which bits were turned on the way, with those bits: stand-ins have the
    same ones there, so that sums are off by the same amount."""
    stuck: int = 0
    """Bits of any octet that some frames cannot have changed: a stuck line decides them."""
    kept: set[bytes] = field(default_factory=set)
    """Addresses that stay: they belong to probes, whose octets tell them."""

    def add(self, role: str, value: bytes) -> None:
        """Count one address; other roles, and addresses cut short, are no addresses."""
        word = role == "name" or (role == "text" and _HOST.fullmatch(value))
        if word and len(self.labels) < _MOST_NAMES:
            self.labels.update(_LABEL.findall(value.lower()))
        if role in ("name", "text"):
            if len(self.names) < _MOST_NAMES and len(value) <= _LONGEST_NAME:
                self.names.update(m[0].decode().lower() for m in _NAME.finditer(value))
        elif ADDRESSES.get(role) == len(value):
            getattr(self, role)[value] += 1
            if role == "ipv6" and value[11:13] == b"\xff\xfe":
                self.mac[embedded(value[8:])] += 1

    def name(self, value: bytes) -> None:
        """Note a name: one that was struck goes with the one that it was."""
        alike = self.whole.setdefault(len(value), [])
        if len(alike) < _MOST_ALIKE and self.base(value) is None:
            alike.append(value)

    def base(self, value: bytes) -> bytes | None:
        """The name, or another one from which it differs in one octet."""
        alike = self.whole.get(len(value), ())
        if value in alike:
            return value
        return next((n for n in alike if related(value, n) == "octet"), None)

    def strike(self, address: bytes, bits: bytes) -> None:
        """Note bits of an IPv4 address that were turned."""
        before = self.struck.get(address, bytes(4))
        self.struck[address] = bytes(a | b for a, b in zip(before, bits, strict=True))

    def stick(self, bits: int) -> None:
        """Note bits of a stuck line: an address keeps its own, so that it is struck alike."""
        self.stuck |= bits
        for address in self.ipv4 if bits else ():
            self.strike(address, bytes((bits,)) * len(address))


def embedded(interface: bytes) -> bytes:
    """The hardware address in an interface identifier (RFC 4291, appendix A, from memory)."""
    return bytes((interface[0] ^ 2,)) + interface[1:3] + interface[5:]


def related(value: bytes, base: bytes) -> str | None:
    """How a value may have come of another: one octet, two exchanged, or all pairs exchanged."""
    differ = [i for i, (a, b) in enumerate(zip(value, base, strict=True)) if a != b]
    if len(differ) == 1:
        return "octet"
    if len(differ) == 2:
        i, j = differ
        if value[i] == base[j] and value[j] == base[i]:
            return "exchange"
    return "pairs" if value == pairs(base) else None


def pairs(value: bytes) -> bytes:
    """The octets of each pair exchanged."""
    return bytes(value[i ^ 1] if i ^ 1 < len(value) else value[i] for i in range(len(value)))


def moved(how: str, value: bytes, base: bytes, image: bytes) -> bytes:
    """What ``image`` becomes when it changes as ``base`` did to become ``value``."""
    if how == "octet":
        return bytes(v ^ b ^ o for v, b, o in zip(value, base, image, strict=True))
    if how == "pairs":
        return pairs(image)
    i, j = [k for k, (a, b) in enumerate(zip(value, base, strict=True)) if a != b]
    changed = bytearray(image)
    changed[i], changed[j] = image[j], image[i]
    return bytes(changed)
