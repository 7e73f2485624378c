"""The transfer rounds up to whole granules of n octets: surplus octets behind the frame.

Octets are counted from ``lead`` before the frame to ``trail`` behind it. Nothing is lost.
"""

from __future__ import annotations

from framecheck.damage._mechanism import Mechanism, nothing


def surplus(length: int, n: int, lead: int = 0, trail: int = 0) -> int:
    """Octets from the frame's end up to the next edge behind it and its trail."""
    return -(length + lead + trail) % n + trail


def apply(sent: bytes, n: int, lead: int = 0, trail: int = 0, foreign: bytes = b"") -> bytes:
    """What arrives; ``foreign``: the surplus octets (zeros where it is shorter)."""
    k = surplus(len(sent), n, lead, trail)
    return sent + foreign[:k].ljust(k, b"\0")


def undo(received: bytes, n: int, lead: int = 0, trail: int = 0, length: int = 0) -> bytes:
    """What was sent; ``length``: its octets, which the received ones alone do not tell."""
    return received[:length]


ROUND_UP = Mechanism("round-up", apply, undo, nothing)
