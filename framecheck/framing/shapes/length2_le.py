"""Two octets in front: the length, least significant octet first."""

from framecheck.framing._shape import Shape, length_word

LENGTH2_LE = Shape("length2-le", length_word(2, 0, "little"))
