"""What the rules about text share: octets that a name or a line should not hold."""

from __future__ import annotations

from framecheck.core.span import Range, runs

LETTERS = frozenset(b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-")
"""Of a host name (RFC 1123 2.1)."""
_CONTROLS = frozenset((*range(32), 127))


def controls(octets: bytes, allowed: bytes = b"") -> tuple[Range, ...]:
    """Where control characters stand, those that are allowed left out."""
    return runs(i for i, c in enumerate(octets) if c in _CONTROLS and c not in allowed)


def beyond(octets: bytes, alphabet: frozenset[int]) -> tuple[Range, ...]:
    """Where octets stand that are in no alphabet, control characters left out."""
    return runs(i for i, c in enumerate(octets) if c not in alphabet and c not in _CONTROLS)


def undecodable(octets: bytes) -> tuple[Range, ...]:
    """Where octets stand that are no UTF-8."""
    shown = octets.decode("utf-8", "surrogateescape")
    at, bad = 0, []
    for character in shown:
        if "\udc80" <= character <= "\udcff":
            bad.append(at)
            at += 1
        else:
            at += len(character.encode("utf-8"))
    return runs(bad)


def unended(octets: bytes) -> bytes:
    """A text without the zeros that end it."""
    return octets.rstrip(b"\0")
