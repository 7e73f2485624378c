"""Two data bits exchanged in every octet; it undoes itself."""

from __future__ import annotations

from functools import cache

from framecheck.damage._mechanism import Mechanism, nothing


@cache
def _table(a: int, b: int) -> bytes:
    def crossed(n: int) -> int:
        differs = (n >> a ^ n >> b) & 1
        return n ^ (differs << a | differs << b)

    return bytes(crossed(n) for n in range(256))


def apply(sent: bytes, a: int, b: int) -> bytes:
    """What arrives; of what arrived, what was sent. Bit 0 is the least significant."""
    return sent.translate(_table(a, b))


CROSSED = Mechanism("crossed", apply, apply, nothing)
