"""Ten or twelve octets in front: a virtual device's header, mostly zero.

Flags, kind of segmentation, header length, segment size, where a checksum starts and where it
goes; in the longer form the number of buffers, least significant octet first (from memory).
"""

from framecheck.framing._shape import Shape, word


def _plain(front: bytes) -> bool:
    return front[0] in (0, 1, 2) and front[1] in (0, 1, 3, 4, 5)


def _fits10(front: bytes, rest: int) -> float:
    if len(front) != 10 or not _plain(front):
        return 0.0
    return 40.0 if not any(front[2:]) else 6.0


def _fits12(front: bytes, rest: int) -> float:
    if len(front) != 12 or not _plain(front) or word(front, 10, "little") not in (0, 1):
        return 0.0
    return 48.0 if not any(front[2:10]) else 14.0


VIRTUAL10 = Shape("virtual10", _fits10)
VIRTUAL12 = Shape("virtual12", _fits12)
