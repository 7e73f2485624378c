"""Octets that know where they come from: memory, fills, and what a driver's dump shows.

A machine moves cells about; where each printed octet was sent, or that it was never written, is
then read off the cells themselves and not off a description of the fault.
"""

from __future__ import annotations

from functools import cache, lru_cache
from typing import NamedTuple
from zlib import crc32

BUFFER = 2048
"""Octets of a receive buffer (the size of common descriptors, common practice, no source)."""
LEFT = -1
"""The ``frame`` of a cell that the driver's fill put there."""
DEVICE = -2
"""The ``frame`` of a cell that the device made: status words, sums, noise of an open bus."""


class Cell(NamedTuple):
    """One octet in a wire, a register or a memory."""

    value: int
    frame: int
    """Number of the sent frame it belongs to, from 0; or LEFT, DEVICE."""
    offset: int
    """Where in the sent frame, or in the buffer, it stood."""


Cells = list[Cell]

_ODD = bytes(n for n in range(256) if n.bit_count() % 2)
PATTERNS = {
    "odd-parity": _ODD,
    "letters": b"ABCDEFGHIJKLMNOPQRSTUVWXYZ",
    "constant:a5": b"\xa5",
    "constant:c7": b"\xc7",
}
"""Fills by the name that the tool knows them by."""


def filled(name: str, size: int = BUFFER) -> Cells:
    """A memory that a driver filled with a pattern from its first octet."""
    return list(_filled(name, size))


@cache
def _filled(name: str, size: int) -> tuple[Cell, ...]:
    pattern = PATTERNS[name]
    return tuple(Cell(pattern[i % len(pattern)], LEFT, i) for i in range(size))


def on_the_wire(octets: bytes, number: int) -> Cells:
    """A sent frame as cells."""
    return list(_on_the_wire(octets, number))


@lru_cache(maxsize=4096)
def _on_the_wire(octets: bytes, number: int) -> tuple[Cell, ...]:
    # The same frames go through the machine of each law that an answer is held against.
    return tuple(Cell(value, number, offset) for offset, value in enumerate(octets))


def device(octets: bytes) -> Cells:
    """Octets that the device makes."""
    return [Cell(value, DEVICE, offset) for offset, value in enumerate(octets)]


def check_sequence(frame: Cells) -> Cells:
    """The frame's FCS in the order in which it is sent (IEEE 802.3; zlib's CRC-32)."""
    octets = bytes(cell.value for cell in frame)
    return device(crc32(octets).to_bytes(4, "little"))


def values(cells: Cells) -> bytes:
    """What a dump of these cells prints."""
    return bytes(cell.value for cell in cells)
