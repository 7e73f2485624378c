"""Probes as octets: the walk with a number in it, and the frames that carry it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

from framecheck.core.problem import Problem
from framecheck.core.sums import checksum, pseudo_header
from framecheck.damage.probes._walk import BLOCK, FIRST, KEYS, STOP, WALK, WIDE, choices, is_slot

KINDS = ("ethernet", "arp", "udp", "echo")
"""What carries the content: local experimental type 88B5, ARP, UDP to the discard port, echo."""
NUMBERS = 64
"""Numbers of probes: they begin again behind 63."""
SHORTEST, LONGEST = 60, STOP
"""Lengths of a probe in octets: a frame without FCS (IEEE 802.3 3.2.7)."""

NUMBER_BITS, REST_BITS = 6, 12
_CELLS = 9
"""Bits that the slots of one block of 16 octets hold."""
_ORDER = (1, 0, 2, 3)
"""Which three bits of the rest stand in the first, second, third and fourth two blocks.

The destination and the low bits of the length come early: short frames hold no others.
"""


class Addresses(NamedTuple):
    """Where a probe goes."""

    mac: bytes
    ip: bytes


BOARD = Addresses(bytes.fromhex("00005e005307"), bytes((192, 0, 2, 77)))
"""Documentation addresses (RFC 7042 2.1.1, RFC 5737)."""
SENDER = Addresses(bytes.fromhex("00005e005301"), bytes((192, 0, 2, 1)))


class Name(NamedTuple):
    """What a probe's content says of its frame."""

    number: int
    length: int
    kind: str
    default: bool = True
    """Whether it goes to the documentation addresses."""


def kind_of(place: int) -> str:
    """The kind by its place among ``KINDS``; raises Problem where there is none."""
    if not 0 <= place < len(KINDS):
        raise Problem(f"no kind of probe has the number {place}")
    return KINDS[place]


def label(number: int, length: int, kind: str, to: Addresses) -> str:
    """A probe's name in hex, as the board's dump puts it into its first line."""
    to_hex = (to.mac + to.ip).hex()
    return f"{number % NUMBERS:02x} {length:04x} {KINDS.index(kind):x} {to_hex}"


def starts(kind: str) -> int:
    """The offset at which the content of such a frame begins."""
    return FIRST if kind == "ethernet" else 42


def cells(offset: int) -> tuple[int, ...]:
    """Which bits of a frame's name the slot at this offset holds, most significant first.

    0 to 5 are those of the number, from 6 on those of length and destination. Each block of 16
    holds the whole number, two blocks three bits of the rest. Their order turns from block to
    block, so that a loss of all octets of one remainder leaves every bit somewhere.
    """
    if not is_slot(offset):
        return ()
    block, slot = offset // BLOCK, offset % BLOCK // 2
    first = slot + (slot > WIDE)
    return tuple(_bit(block, first + k) for k in range(2 if slot == WIDE else 1))


def _bit(block: int, cell: int) -> int:
    turned = (cell + block // 2) % _CELLS
    if turned < NUMBER_BITS:
        return turned
    return turned + _ORDER[block // 2 % 4] * (_CELLS - NUMBER_BITS)


@lru_cache(1)
def slots() -> tuple[tuple[int, tuple[int, ...]], ...]:
    """Every slot of the walk with the bits it holds."""
    return tuple((at, cells(at)) for at in range(FIRST, STOP) if is_slot(at))


@lru_cache(1024)
def _stream(name: Name) -> bytes:
    """The content by offset in the frame, up to the longest one."""
    key = KEYS[KINDS.index(name.kind)]
    said = name.number | ((not name.default) | name.length << 1) << NUMBER_BITS
    out = bytearray(octet ^ key for octet in WALK)
    for at, bits in slots():
        value = 0
        for bit in bits:
            value = value << 1 | (said >> bit & 1)
        out[at] ^= choices(at)[value]
    return bytes(out)


def content(
    number: int, length: int, start: int, kind: str = "ethernet", default: bool = True
) -> bytes:
    """Octets ``start`` to ``length`` of a probe: even parity, each pair names its offset.

    ``number``: the probe's, counted modulo 64; ``length``: octets of the frame, 60 to 1514;
    ``start``: offset of the first octet wanted, 14 or more; ``default``: whether the frame goes
    to the documentation addresses. Raises Problem for a length or kind that no probe has.
    """
    check(length, kind)
    name = Name(number % NUMBERS, length, kind, default)
    return _stream(name)[max(start, FIRST) : length]


def frame(number: int, length: int, kind: str = "ethernet", to: Addresses = BOARD) -> bytes:
    """A whole probe without FCS, its sums right.

    Raises Problem for a length or kind that no probe has.
    """
    check(length, kind)
    return built(Name(number % NUMBERS, length, kind, to == BOARD), to)


def built(name: Name, to: Addresses) -> bytes:
    """The frame of that name, sent there."""
    carried = _stream(name)[starts(name.kind) : name.length]
    return b"".join(_headers(name.number, name.kind, to, carried)) + carried


def check(length: int, kind: str) -> None:
    """Raise Problem for a length or kind that no probe has."""
    if not SHORTEST <= length <= LONGEST:
        raise Problem(f"a probe has {SHORTEST} to {LONGEST} octets, not {length}")
    if kind not in KINDS:
        raise Problem(f"no probe is of the kind {kind!r}; there are {', '.join(KINDS)}")


def _headers(number: int, kind: str, to: Addresses, carried: bytes) -> Iterator[bytes]:
    yield to.mac + SENDER.mac
    if kind == "ethernet":
        yield b"\x88\xb5"  # IEEE 802: local experimental EtherType 1
    elif kind == "arp":
        # RFC 826: a request from the sender for the board's address.
        yield bytes.fromhex("0806 0001 0800 06 04 0001")
        yield SENDER.mac + SENDER.ip + bytes(6) + to.ip
    else:
        yield b"\x08\x00"
        protocol = 17 if kind == "udp" else 1
        yield _ipv4(number, protocol, 28 + len(carried), to)
        yield _udp(number, to, carried) if kind == "udp" else _echo(number, carried)


def _ipv4(number: int, protocol: int, length: int, to: Addresses) -> bytes:
    """RFC 791 3.1: the identification is the probe's number."""
    head = b"\x45\x00" + length.to_bytes(2, "big") + number.to_bytes(2, "big") + bytes(2)
    ends = SENDER.ip + to.ip
    head += bytes((64, protocol))
    return head + checksum(head, ends).to_bytes(2, "big") + ends


def _udp(number: int, to: Addresses, carried: bytes) -> bytes:
    """RFC 768, to the discard port (RFC 863) from a dynamic one (RFC 6335 6)."""
    length = 8 + len(carried)
    head = (49152 + number).to_bytes(2, "big") + b"\0\x09" + length.to_bytes(2, "big")
    total = checksum(pseudo_header(SENDER.ip, to.ip, 17, length), head, carried)
    return head + (total or 0xFFFF).to_bytes(2, "big")


def _echo(number: int, carried: bytes) -> bytes:
    """RFC 792 Echo: the sequence number is the probe's."""
    rest = b"\x88\xb5" + number.to_bytes(2, "big")
    return b"\x08\0" + checksum(b"\x08\0", rest, carried).to_bytes(2, "big") + rest
