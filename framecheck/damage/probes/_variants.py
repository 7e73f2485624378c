"""What a probe may look like behind a bus that turns words, nibbles or bits: undone one by one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

_NIBBLES = bytes((n & 15) << 4 | n >> 4 for n in range(256))
_REVERSED = bytes(int(f"{n:08b}"[::-1], 2) for n in range(256))
_ORDERS = ((1, 0), (3, 2, 1, 0), (7, 6, 5, 4, 3, 2, 1, 0), (2, 3, 0, 1))
_FIRST: tuple[Literal["big", "little"], ...] = ("big", "little")
"""Which bit of an octet comes first on the wire of a slip: the most or the least significant."""


def exchanges(received: bytes) -> Iterator[bytes]:
    """The octets with each usual exchange undone, the likeliest first.

    Words are tried at every phase, because a shift may stand before them; last every second
    octet or word, for buses that show them twice.
    """
    for phase in range(8):
        for order in _ORDERS:
            if phase < len(order):
                yield _ordered(received, order, phase)
    yield received.translate(_NIBBLES)
    yield received.translate(_REVERSED)
    yield received[::2]
    yield received[1::2]
    for width in (2, 4):
        words = [received[i : i + width] for i in range(0, len(received), 2 * width)]
        yield b"".join(words)


def slips(received: bytes) -> Iterator[bytes]:
    """The octets with each slip of 1 to 7 bits undone, in both orders of bits."""
    for order in _FIRST:
        whole = int.from_bytes(received, order)
        for bits in range(1, 8):
            yield (whole << bits).to_bytes(len(received) + 1, order)


def _ordered(octets: bytes, order: tuple[int, ...], phase: int) -> bytes:
    width = len(order)
    stop = phase + (len(octets) - phase) // width * width
    out = bytearray(octets)
    for to, source in enumerate(order):
        out[phase + to : stop : width] = octets[phase + source : stop : width]
    return bytes(out)
