"""Chance that a key decides: the same key and subject give the same draws."""

from __future__ import annotations

import hashlib
import random


def chance(key: bytes, *subject: bytes | str | int) -> random.Random:
    """A source of draws that only the key's owner can foretell.

    ``subject``: what is drawn for; another subject gives other draws.
    """
    digest = hashlib.blake2b(key=hashlib.sha256(key).digest())
    for part in subject:
        octets = part if isinstance(part, bytes) else str(part).encode()
        digest.update(len(octets).to_bytes(4, "big") + octets)
    return random.Random(int.from_bytes(digest.digest(), "big"))


def octets(key: bytes, count: int, *subject: bytes | str | int) -> bytes:
    """So many octets for a subject."""
    return chance(key, *subject).randbytes(count)
