"""Four octets in front: a status word, then the length, in either octet order."""

from framecheck.framing._shape import Shape, length_word

STATUS2_LENGTH2_LE = Shape("status2-length2-le", length_word(4, 2, "little"))
STATUS2_LENGTH2_BE = Shape("status2-length2-be", length_word(4, 2, "big"))
