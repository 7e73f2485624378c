"""Two octets in front, so that the IP header stands on a multiple of four (common practice)."""

from framecheck.framing._shape import Shape


def fits(front: bytes, rest: int) -> float:
    """Zeros tell more than leftovers, but both are met."""
    if len(front) != 2:
        return 0.0
    return 9.0 if front == b"\0\0" else 3.0


ALIGN2 = Shape("align2", fits)
