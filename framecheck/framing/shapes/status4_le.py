"""Four octets in front: one word with the length in its upper bits; two more may align."""

from framecheck.framing._shape import Shape, counts, word


def _fits(size: int, front: bytes, rest: int) -> float:
    if len(front) != size:
        return 0.0
    status = word(front, 0, "little", 4)
    # The length is 14 bits wide, above 16 bits of status.
    return 10.0 if counts(status >> 16 & 0x3FFF, size, rest) else 0.0


STATUS4_LE = Shape("status4-le", lambda front, rest: _fits(4, front, rest))
STATUS4_LE_ALIGN2 = Shape("status4-le-align2", lambda front, rest: _fits(6, front, rest))
