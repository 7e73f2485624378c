"""Four octets in front: the length and its complement, least significant octet first."""

from framecheck.framing._shape import Shape, length_word, word


def _inverse(front: bytes) -> bool:
    return word(front, 0, "little") ^ word(front, 2, "little") == 0xFFFF


def _fits(front: bytes, rest: int) -> float:
    # The complement alone would be there by chance once in 65,536 times.
    bits = length_word(4, 0, "little", _inverse)(front, rest)
    return bits + 16 if bits else 0.0


LENGTH2_INVERSE2_LE = Shape("length2-inverse2-le", _fits)
