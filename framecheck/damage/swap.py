"""Octets reversed in each aligned word of 2, 4 or 8.

With ``part="keep"`` it undoes itself. With ``part="word"`` a part word of r octets at the end
comes as the first r octets of the reversed whole word: what was sent in its first width - r
places (as many as there are) lies beyond the end and is lost.
"""

from __future__ import annotations

from framecheck.core.span import Range
from framecheck.damage._mechanism import Mechanism, by_words


def apply(sent: bytes, width: int, part: str = "keep", beyond: bytes = b"") -> bytes:
    """What arrives, as long as what was sent; ``beyond``: what the buffer holds behind it."""
    whole = len(sent) - len(sent) % width
    if part == "keep" or whole == len(sent):
        # One slice per place in a word is far quicker than one a word.
        received = bytearray(sent)
        for i in range(width):
            received[i:whole:width] = sent[width - 1 - i : whole : width]
        return bytes(received)
    return by_words(sent, width, part, beyond, lambda w: w[::-1])


def undo(received: bytes, width: int, part: str = "keep") -> bytes:
    """What was sent; zeros where it is lost."""
    rest = len(received) % width
    if part == "keep" or not rest:
        return apply(received, width)
    whole = len(received) - rest
    word = received[whole:].ljust(width, b"\0")[::-1]
    return apply(received[:whole], width) + word[:rest]


def lost(length: int, width: int, part: str = "keep") -> tuple[Range, ...]:
    """The first octets of a part word that was moved as a whole one."""
    rest = length % width
    if part == "keep" or not rest:
        return ()
    return ((length - rest, length - rest + min(rest, width - rest)),)


SWAP = Mechanism("swap", apply, undo, lost)
