"""Four octets in front: the length as one word, in either octet order."""

from framecheck.framing._shape import Order, Shape, counts, word


def _fits(order: Order, front: bytes, rest: int) -> float:
    right = len(front) == 4 and counts(word(front, 0, order, 4), 4, rest)
    return 26.0 if right else 0.0


LENGTH4_LE = Shape("length4-le", lambda front, rest: _fits("little", front, rest))
LENGTH4_BE = Shape("length4-be", lambda front, rest: _fits("big", front, rest))
