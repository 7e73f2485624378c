"""Four octets in front: 01, a status octet, then the length with FCS."""

from framecheck.framing._shape import Shape, length_word


def _fits(front: bytes, rest: int) -> float:
    bits = length_word(4, 2, "little", lambda f: f[0] == 1 and f[1] in (0, 0x40, 0x80))(front, rest)
    return bits + 2.5 if bits else 0.0


READY1_STATUS1_LENGTH2_LE = Shape("ready1-status1-length2-le", _fits)
