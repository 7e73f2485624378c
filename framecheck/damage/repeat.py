"""Octets come twice: the last ``width`` of every ``every`` octets, or the ``width`` at ``at``.

All counts are octets, from octet 0. ``every`` equal to ``width`` doubles each word of that width,
``width=2, every=8`` the last word of each four. The frame becomes longer. Nothing is lost.
"""

from __future__ import annotations

from framecheck.damage._mechanism import Mechanism, nothing, words


def apply(sent: bytes, width: int, every: int | None = None, at: int | None = None) -> bytes:
    """What arrives. ``every`` is at least ``width``; ``at``: where the one word stands."""
    if at is not None:
        return sent[: at + width] + sent[at : at + width] + sent[at + width :]
    block = max(width, every or 0)
    return b"".join(piece + piece[block - width :] for piece in words(sent, block))


def undo(received: bytes, width: int, every: int | None = None, at: int | None = None) -> bytes:
    """What was sent."""
    if at is not None:
        return received[: at + width] + received[at + 2 * width :]
    once = max(width, every or 0) - width
    # A last word that is a part comes twice as a part.
    return b"".join(
        piece[: once + (len(piece) - once + 1) // 2] if len(piece) > once else piece
        for piece in words(received, once + 2 * width)
    )


REPEAT = Mechanism("repeat", apply, undo, nothing)
