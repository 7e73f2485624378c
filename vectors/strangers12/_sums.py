"""The check sequence of IEEE 802.3 and a sum of a row, for the logs that print them."""

from __future__ import annotations

import zlib


def check_sequence(octets: bytes) -> bytes:
    """The four octets that follow a frame on the line, in the order in which they are sent."""
    return zlib.crc32(octets).to_bytes(4, "little")


def row_sum(octets: bytes) -> int:
    """What makes the sum of a row's octets zero, modulo 256."""
    return -sum(octets) & 0xFF
