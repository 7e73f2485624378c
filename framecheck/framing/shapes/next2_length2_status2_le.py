"""Six octets in front: where the next packet is, the length with FCS, a status word."""

from framecheck.framing._shape import Shape, length_word

NEXT2_LENGTH2_STATUS2_LE = Shape("next2-length2-status2-le", length_word(6, 2, "little"))
