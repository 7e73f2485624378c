"""Every octet i with i mod n = r is lost. Their values are gone."""

from __future__ import annotations

from framecheck.core.span import Range
from framecheck.damage._mechanism import Mechanism


def apply(sent: bytes, n: int, r: int) -> bytes:
    """What arrives."""
    received = bytearray(sent)
    del received[r::n]
    return bytes(received)


def undo(received: bytes, n: int, r: int, length: int | None = None) -> bytes:
    """What was sent, zeros where it is lost; ``length``: octets of the sent frame, when known.

    Without it a lost octet behind the last that came is not put back.
    """
    sent = bytearray()
    rest = iter(received)
    octet = next(rest, None)
    while octet is not None or (length is not None and len(sent) < length):
        if len(sent) % n == r or octet is None:
            sent.append(0)
        else:
            sent.append(octet)
            octet = next(rest, None)
        if n == 1:
            break  # everything is lost: nothing says how much
    return bytes(sent[:length])


def lost(length: int, n: int, r: int) -> tuple[Range, ...]:
    """The octets that did not arrive."""
    return tuple((i, i + 1) for i in range(r, length, n))


SKIP = Mechanism("skip", apply, undo, lost)
