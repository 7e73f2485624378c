"""The two 16-bit halves of each aligned 32-bit word exchanged.

With ``part="keep"`` it undoes itself. With ``part="word"`` the end of r octets is the start of a
whole word's: its second half comes first, and what was sent first is lost but for r - 2 octets.
"""

from __future__ import annotations

from framecheck.core.span import Range
from framecheck.damage._mechanism import Mechanism, by_words


def apply(sent: bytes, part: str = "keep", beyond: bytes = b"") -> bytes:
    """What arrives, as long as what was sent; ``beyond``: what the buffer holds behind it."""
    return by_words(sent, 4, part, beyond, lambda w: w[2:] + w[:2])


def undo(received: bytes, part: str = "keep") -> bytes:
    """What was sent; zeros where it is lost."""
    rest = len(received) % 4
    if part == "keep" or not rest:
        return apply(received)
    whole = len(received) - rest
    word = received[whole:].ljust(4, b"\0")
    return apply(received[:whole]) + (word[2:] + word[:2])[:rest]


def lost(length: int, part: str = "keep") -> tuple[Range, ...]:
    """What a part word that was moved as a whole one no longer holds of its first half."""
    rest = length % 4
    if part == "keep" or not rest:
        return ()
    start = length - rest
    return ((start + max(0, rest - 2), start + min(rest, 2)),)


HALFWORD = Mechanism("halfword", apply, undo, lost)
