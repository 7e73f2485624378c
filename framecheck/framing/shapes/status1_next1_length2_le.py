"""Four octets in front: status, number of the next page, length that counts these four."""

from framecheck.framing._shape import Shape, word


def _fits(front: bytes, rest: int) -> float:
    if len(front) != 4 or not front[0] & 1:
        return 0.0  # bit 0: received well
    length = word(front, 2, "little")
    counted = any(length in (rest + 4 - r, rest + 8 - r) for r in range(4))
    return 13.0 if counted and front[1] not in (0, 0xFF) else 0.0


STATUS1_NEXT1_LENGTH2_LE = Shape("status1-next1-length2-le", _fits)
