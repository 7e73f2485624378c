"""The walk: which octet stands at each offset of a probe, before its number is put in.

Octets of even parity, one for each offset from 14 to 1513. Every second offset is a slot, whose
octet may be exchanged for one of its ``choices``; the offsets between stay. Found by a search with
backtracking (``python -m tests.damage.make_walk`` repeats it), so that for any choice in any slot:

- no two neighbours stand at two places, in this order or in the other;
- nor does a place show what the exchanged nibbles or reversed bits of another show;
- nor do the octets that become neighbours at the borders of words, when words of 2, 4 or 8 octets
  are reversed or the halves of words of 4 exchanged, show what two true neighbours show.

Two neighbours of a probe are one of 3,889 pairs, and each pair names its offset.
"""

from __future__ import annotations

from base64 import b64decode
from functools import cache
from itertools import product

FIRST = 14
"""The offset of the walk's first octet: behind the link header."""
STOP = 1514
"""The offset behind its last: the longest frame without FCS (IEEE 802.3 3.2.7)."""
KEYS = (0x00, 0x66, 0x99, 0xFF)
"""Octets that stay the same when nibbles are exchanged and when bits are reversed.

XOR with one of them therefore keeps every property of the walk; none of them stands in it.
"""
BLOCK = 16
_MIX = 0x9E37
"""A multiplier whose product's middle bits follow no order (Knuth, TAOCP 6.4)."""
WIDE = 4
"""The slot of each block that has four choices; others have two."""


def is_slot(offset: int) -> bool:
    """Whether the octet at this offset may be exchanged.

    Odd offsets in even blocks, even ones in odd blocks: whatever loses every second octet leaves
    slots.
    """
    return (offset + offset // BLOCK) % 2 == 1


def choices(offset: int) -> tuple[int, ...]:
    """What the octet at this offset may be exchanged with, by XOR: four, two or one."""
    if not is_slot(offset):
        return KEYS[:1]
    found = KEYS if offset % BLOCK // 2 == WIDE else (KEYS[0], KEYS[3])
    # Their order changes from slot to slot: else a stuck line would hide one value everywhere.
    return found[::-1] if offset * _MIX >> 7 & 1 else found


@cache
def places() -> dict[int, list[tuple[int, int]]]:
    """From two neighbours (the first times 256, plus the second) to what they may be.

    A key by which all octets of a frame are mixed, and the offset of the first: one for each key.
    """
    found: dict[int, list[tuple[int, int]]] = {}
    for at in range(FIRST, STOP - 1):
        first, second = WALK[at], WALK[at + 1]
        for a, b in product(choices(at), choices(at + 1)):
            pair = (first ^ a) << 8 | second ^ b
            for key in KEYS:
                found.setdefault(pair ^ (key << 8 | key), []).append((key, at))
    return found


WALK = bytes(FIRST) + b64decode(
    "RG90CUTPPzBH9iI/XPMu9h38uDyLDG8dPzr8Ec8ubwNHIjAdXDBEAyIMLglQOkdvNZAdRMAuPHsJHQw6wAr2DO5T"
    "ROJ0owX2WawMCVP8RFwKyndT3XQDOjA17hI/PPMhPDVqb1/FLnd7uBEddLc8/EhH7lxTLsMS0SHuG5B7zzp3FG8h"
    "CdcRwCKQMFNlb1A1OhSpSCJc/EGjapA2yi4RdFMFNQkiNUfKOvon7nKQWcpl+ql7R2UJTncJvgwoCglfNWxBdxua"
    "UAMhRBvJdEg8dAwRfV/KY9cDCX1vBShvSHcwG1/2A1knDFasCpBfThFWNRTGBQk5NSEuTgMniHKVX2NORBJTr1Z0"
    "GzYoXG8SCRQ2jcZTYzrzVn1yrycie6w89n0/ykiaOoJZ6zlBSKYdNWXrMH02Ctdl7llTIZxBbwo1WRIuan1QbCfX"
    "IbsUlQpBDLERe4sbwHI5Tr4w4iFqCllHJ3dcY0HRTlkwKETDNb5IjYsnLkQ1fZoSHSfde+tIkyhTUCc6cvpE7TCx"
    "U0465B02NWMJVZADpiepJJp3pmOQP0cJNmp37Rs/LmUht07XRGwoET8no1W4OWUSlURZJKY2Io0bcnR9Ibg2EmO7"
    "b1Nf3lZ7vifRNtg5yiusVdFfDGxljVkiFBtsHTNTCiJWxXTGRHumR1xlkDmEBR0hGx2NCh1yY5Ub/Cd7BZN0glCx"
    "ey7JX9hgrzA8ULcF7QqcTm82SHIu3RT6BlAwnGVyNvYbVh1Oo0dWRJpfsSSVJ2853loJ6zY/bFxZkwY5HQN3Vj+l"
    "/BTkbJUF11rtGLdTA2p7bDobLqxHY3QzBWwiah3AU0gKTVBaexjeJI0rU0IbDNczLogUnAaNY58wWnfJZbFgzJMK"
    "qQNlP58X+Rs5DH0URBdW0XsSbO4FwzkhCi5Z3R1QM1khOvUGcjzJM2wwrHJqFyJjZQUr4l/XF+tTGyuxM31TPCdg"
    "XxJHWgUGNnTMR5NyR18/vnGmdE4hQgkoA4RsgsYSagagWn1NsQ8bR6lE2AY1GwXPffUP5DWORJZyUHvoU3tlJ1xV"
    "VgaxF9ha607JfiGpTb5aDDaVETZ7gSijb8MdfYgYEQmOPE4GIXIFJ4RxIeRHF0hEYEgFwAYuTZVIcflBrCQ1K6Az"
    "6wZHJAlN2DMGRCQSCntxDCswBt5Q9mVxrGDGGEgk4gbXD68dmgp0fmziEuhIoETUCkI2Kz9BJ2mNPAkekCRyWo0Y"
    "2A9fce0eP1oixh2fcRQKERIXe1lCThtNdGAMUCJ+sR4bPNhCyi1TaSJLJ95sfRgucRJgM3sU8zYhbDx90QoYDDNW"
    "LkLtYFneM6N7TWC7G7QGt1p0Ieg1YGUtVgOcXBIrkEJ0GGMtTqobIhKCcrQiLUEzccwXtKZaA03APOhCVitqS8YM"
    "EngwpWWOD8kdhxTSREsoOh0tNlpqPHF0MA99HqxChAYoVTo5avYXUBFpOpZ31GVOD6ycdKA59it7eJAtCX5HK28Y"
    "QRc8FH5IQhEnVRR4LqVEh7dNNjNcFLgkJxhyTe06fSQipXhvbKMeNhhfXKASvg85e3L8Ib06YCQdK5wPA3hxJDla"
    "Hlx711W3LfYeb35jdwpgQhcPDB6lS3sPt2DdUItVY2Bq4UfPXL0FP2oeWStlEeIY9k1vQotp3i0uD+gdS3Et7Q+4"
    "SPYzKyeqJIchYwZ4t0KqMGMrxhupLZVVfUd4Ky7hTUgwxn5gF5Azb3fifpw8WfMe3jpNVZMeyU1OGGwkCj8GfijA"
    "D1AeCgV3UNs6jsYXBlWCWkEP6yvPGNckhB45lhGyYC17KBc5K3JZBhhVQhS9KN0GIk1lJI53aS7oX0K+OswwMz+g"
    "HoJg/DmlOjxfRJNLmlWyPAwkn2qEKyFLR3E1QXEnD/Mr+nRcNRckS6Ytak5BEvxLZR60OsNc7VVQKxc2MFUDXyso"
    "Tt1cSx7k9VWgcYIkwC2aHqkP/CuOaUf1SwU6n3fSNsB01D9ZY7Q5QjV4WVrzLT8X"
)
"""The walk by offset; zeros stand for the link header."""
