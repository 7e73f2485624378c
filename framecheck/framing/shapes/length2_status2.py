"""Four octets in front: the length, then a status word, in either octet order."""

from framecheck.framing._shape import Shape, length_word

LENGTH2_STATUS2_LE = Shape("length2-status2-le", length_word(4, 0, "little"))
LENGTH2_STATUS2_BE = Shape("length2-status2-be", length_word(4, 0, "big"))
