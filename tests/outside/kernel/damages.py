"""What a transfer does to one frame: the families of faults as functions of a seeded generator.

Each takes the frame, the frame that the same buffer held before, and a ``random.Random``; it
gives what the board would hand to its stack. Families in which whole frames are missing or
late leave single frames as they are and are not here. The families are those of public fault
reports on Ethernet adapters (common practice, no source).
"""

from __future__ import annotations

import random
import zlib
from collections.abc import Callable

Damage = Callable[[bytes, bytes, random.Random], bytes]


def _fill(count: int) -> bytes:
    return bytes(0x41 + i % 26 for i in range(count))


def _old(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """What a part that was not written shows: a fill, zeros, or the frame before."""
    size = len(octets)
    stale = (before + _fill(size))[:size] if len(before) < size else before[:size]
    return draw.choice((_fill(size), bytes(size), stale))


def last_piece(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """The last n mod S octets were never written."""
    start = len(octets) - (len(octets) % draw.choice((64, 128, 256)) or 3)
    return octets[:start] + _old(octets, before, draw)[start:]


def granule(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """Unwritten from the last whole granule on."""
    size = draw.choice((4, 8, 16, 24, 32, 64))
    start = max(0, len(octets) // size * size - draw.randrange(size))
    return octets[:start] + _old(octets, before, draw)[start:]


def last_octets(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """The last 1 to 4 octets were never written."""
    start = len(octets) - draw.randrange(1, 5)
    return octets[:start] + _old(octets, before, draw)[start:]


def stale_lines(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """Aligned lines still show what the cache held."""
    size, old, out = draw.choice((16, 32, 64)), _old(octets, before, draw), bytearray(octets)
    for start in range(-draw.randrange(size), len(octets), size):
        if draw.random() < 0.3:
            out[max(0, start) : start + size] = old[max(0, start) : start + size]
    return bytes(out)


def appended(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """The FCS or a status word behind the frame."""
    fcs = zlib.crc32(octets).to_bytes(4, "little")
    return octets + draw.choice((fcs, fcs[:2], draw.randbytes(2), draw.randbytes(4), bytes(8)))


def frame_before(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """Head or tail come from the frame that was there before."""
    at = draw.randrange(1, len(octets))
    old = (before + _fill(len(octets)))[: len(octets)]
    return draw.choice((octets[:at] + old[at:], old[:at] + octets[at:]))


def ring_wrap(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """The writer restarts at the ring's first octet, the reader goes on."""
    at = draw.randrange(1, len(octets))
    return octets[at:] + octets[:at] if draw.random() < 0.3 else octets[:at] + octets[: -at or None]


def two_frames(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """Another frame begins in the middle of this one."""
    return octets[: draw.randrange(1, len(octets))] + before


def checksum(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """A sum left to an adapter, done twice, or off by a carry."""
    places = (
        {1: (36,), 6: (50,), 17: (40,)}.get(octets[23], ()) if octets[12:14] == b"\x08\0" else ()
    )
    if octets[12:14] == b"\x86\xdd":
        places = {58: (56,), 6: (70,), 17: (60,)}.get(octets[20], (18,))
    at = draw.choice((24, *places) if octets[12] == 8 else places or (24,))
    old = int.from_bytes(octets[at : at + 2], "big")
    swapped = (old & 255) << 8 | old >> 8
    new = draw.choice((0, 0xFFFF, old + 1, old - 1, old + 256, ~old, swapped)) & 0xFFFF
    return octets[:at] + new.to_bytes(2, "big") + octets[at + 2 :]


def bit_slip(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """From an octet on every bit comes some bits early or late."""
    at, bits = draw.randrange(len(octets)), draw.randrange(1, 8)
    rest = octets[at:]
    number = int.from_bytes(rest, "big")
    mask = (1 << 8 * len(rest)) - 1
    number = number >> bits if draw.random() < 0.5 else number << bits & mask
    return octets[:at] + number.to_bytes(len(rest), "big")


def order(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """Octets of words, halves of octets or bits exchanged, from some octet on."""
    at = draw.choice((0, 0, 14, 34, draw.randrange(len(octets))))
    width = draw.choice((2, 4, 8))
    rest = octets[at:]
    whole = len(rest) // width * width
    words = b"".join(rest[i : i + width][::-1] for i in range(0, whole, width)) + rest[whole:]
    nibbles = bytes((o & 15) << 4 | o >> 4 for o in rest)
    bits = bytes(int(f"{o:08b}"[::-1], 2) for o in rest)
    return octets[:at] + draw.choice((words, words, nibbles, bits))


def front_shift(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """Octets too many, or too few, in front or at a header's edge."""
    at, count = draw.choice((0, 0, 6, 12, 14, 34)), draw.randrange(1, 9)
    if draw.random() < 0.5:
        return octets[:at] + draw.choice((bytes(count), draw.randbytes(count))) + octets[at:]
    return octets[:at] + octets[at + count :]


def size_limit(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """From an octet on nothing is written, or nothing is there."""
    at = draw.randrange(14, len(octets))
    return octets[:at] + draw.choice((b"", _old(octets, before, draw)[at:]))


def padding(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """Padding is missing, is not zero, or is too long."""
    bare = octets.rstrip(b"\0")
    return draw.choice((bare, octets + draw.randbytes(draw.randrange(1, 40)), octets + bytes(18)))


def lost(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """A run of octets is lost."""
    at = draw.randrange(len(octets))
    return octets[:at] + octets[at + draw.randrange(1, 9) :]


def field_order(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """One field has its octets in the other order."""
    at, size = draw.choice(
        ((12, 2), (16, 2), (18, 2), (20, 2), (24, 2), (26, 4), (30, 4), (34, 2), (36, 2), (38, 2),
         (14, 2), (0, 6), (38, 4))
    )  # fmt: skip
    return octets[:at] + octets[at : at + size][::-1] + octets[at + size :]


def lines(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """A stuck data line, two that are crossed, or an address line that is not seen."""
    kind, bit = draw.randrange(4), draw.randrange(8)
    lane, width = draw.randrange(4), draw.choice((1, 2, 4))
    out = bytearray(octets)
    for i in range(len(out)):
        if kind < 2 and i % width == lane % width:
            out[i] = out[i] | 1 << bit if kind else out[i] & ~(1 << bit)
        elif kind == 2 and (out[i] >> bit ^ out[i] >> lane) & 1:
            out[i] ^= 1 << bit | 1 << lane if bit != lane else 0
        elif kind == 3:
            out[i] = octets[i & ~(1 << lane + 2)]
    return bytes(out)


def tag(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """Four octets put in or taken out behind the addresses."""
    new = draw.choice((b"\x81\0\0\0", b"\x81\0\0\x64", b"\x81\0\xe0\0", b"\x88\xa8\0\0"))
    return octets[:12] + draw.choice((new + octets[12:], octets[16:]))


def length_word(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """A length and a status stand in front, sound or absurd."""
    length = draw.choice((len(octets), len(octets) + 4, 65518))
    return length.to_bytes(2, "little") + draw.randbytes(2) + octets


def cut(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """The last octets are taken off."""
    return octets[: -draw.randrange(1, 9)]


def flipped(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """One bit is the other."""
    at = draw.randrange(len(octets) if draw.random() < 0.4 else min(len(octets), 60))
    return octets[:at] + bytes((octets[at] ^ 1 << draw.randrange(8),)) + octets[at + 1 :]


def wrong_word(octets: bytes, before: bytes, draw: random.Random) -> bytes:
    """One word of two octets is another (a transmitter that ran dry)."""
    at = draw.randrange(0, min(len(octets), 120) - 1, 2)
    return octets[:at] + draw.randbytes(2) + octets[at + 2 :]


FAMILIES: dict[str, Damage] = {
    f.__name__.replace("_", "-"): f
    for f in (
        last_piece,
        granule,
        last_octets,
        stale_lines,
        appended,
        frame_before,
        ring_wrap,
        two_frames,
        checksum,
        bit_slip,
        order,
        front_shift,
        size_limit,
        padding,
        lost,
        field_order,
        lines,
        tag,
        length_word,
        cut,
        flipped,
        wrong_word,
    )
}
