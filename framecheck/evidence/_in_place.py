"""How few bits say a damage that moves nothing: stuck and crossed lines, exchanged places.

Payloads that count make a stuck data line or exchanged octets look like a shift of the frame. Said
in place these damages are short: the same few bits differ everywhere, or each octet is its own or
that of a fixed partner.
"""

from __future__ import annotations

from collections import Counter
from math import log2

_OTHER = 9.0
"""Bits of a wrong octet that nothing explains."""
_PARTNER = 12.0
"""Bits of saying which octets are partners."""
_PARTNERS = (1, 2, 3, 4, 7, 8, 16, 32, 64, 128, 256, 512, 1024)
"""The partner of octet i is i xor one of these: words reversed, halves, a dead address line."""


def in_place(received: bytes, sent: bytes, before: bytes | None = None) -> float:
    """Bits of the received octets if each stands in its place, right or wrong.

    Lengths may differ; only the octets that both have are looked at. Octets that still hold what
    the buffer held ``before`` were not written, and cost nothing.
    """
    size = min(len(received), len(sent))
    received, sent = received[:size], sent[:size]
    if before is not None:
        old = before[:size].ljust(size, b"\0")
        sent = bytes(b if r == b else s for r, s, b in zip(received, sent, old, strict=True))
    differences = [a ^ b for a, b in zip(received, sent, strict=True) if a != b]
    best = _coded(differences)
    for partner in _PARTNERS:
        if partner < size:
            others = exchanged(sent, partner)
            pairs = zip(received, sent, others, strict=True)
            neither = sum(r not in (own, other) for r, own, other in pairs)
            if neither < len(differences):
                best = min(best, _PARTNER + _OTHER * neither)
    return best


def _coded(differences: list[int]) -> float:
    """Bits of the differences, coded by how often each occurs among them."""
    total = len(differences)
    counts = Counter(differences)
    entropy = -sum(n * log2(n / total) for n in counts.values())
    return total + entropy + 8.0 * len(counts)


def exchanged(octets: bytes, partner: int) -> bytes:
    """Octet i xor ``partner`` at i; zero where there is none."""
    width = 1 << partner.bit_length()
    padded = octets.ljust(-(-len(octets) // width) * width, b"\0")
    half = width // 2
    if partner == half:  # a power of two: halves change places
        parts = (
            padded[i + half : i + width] + padded[i : i + half]
            for i in range(0, len(padded), width)
        )
    else:  # all bits set: the word is reversed
        parts = (padded[i : i + width][::-1] for i in range(0, len(padded), width))
    return b"".join(parts)[: len(octets)]
