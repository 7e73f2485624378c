"""Probes: frames whose octets say where they belong, and which frame they belong to.

A probe's content (``_walk`` explains its properties, ``_content`` what it carries) has octets of
even parity only: the recommended fill has odd ones, so that a single octet tells written from
never written. Each pair of neighbours stands at one offset only, also after exchanged words,
nibbles and bits: a pair names its place. Between them stand slots, whose octets carry the
probe's number (whole in each 16 octets), its length and whether it goes to the documentation
addresses; XOR over all octets carries its kind. All of it returns over and over, so that any part
that comes through names the frame: ``told`` rebuilds it.

The number counts modulo 64. A loss of all octets but those of one remainder (every second, every
fourth) leaves all bits, because the slots change their parity and the bits their slots from block
to block. A slip of bits is undone before octets are looked at (14 ways to try).
"""

from framecheck.damage.probes._content import (
    BOARD,
    KINDS,
    LONGEST,
    NUMBERS,
    SENDER,
    SHORTEST,
    Addresses,
    content,
    frame,
    kind_of,
    label,
)
from framecheck.damage.probes._lengths import SETS, SWEEP
from framecheck.damage.probes._told import Telling, tell, told, told_all

__all__ = [
    "BOARD",
    "KINDS",
    "LONGEST",
    "NUMBERS",
    "SENDER",
    "SETS",
    "SHORTEST",
    "SWEEP",
    "Addresses",
    "Telling",
    "content",
    "frame",
    "kind_of",
    "label",
    "tell",
    "told",
    "told_all",
]
