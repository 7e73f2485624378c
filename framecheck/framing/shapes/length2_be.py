"""Two octets in front: the length, most significant octet first."""

from framecheck.framing._shape import Shape, length_word

LENGTH2_BE = Shape("length2-be", length_word(2, 0, "big"))
