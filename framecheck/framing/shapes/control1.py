"""One octet in front: a control octet for each packet."""

from framecheck.framing._shape import Shape


def fits(front: bytes, rest: int) -> float:
    """Any value: only its size speaks for it."""
    return 3.0 if len(front) == 1 else 0.0


CONTROL1 = Shape("control1", fits)
