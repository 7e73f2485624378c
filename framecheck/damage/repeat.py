"""Octets come twice: each group of ``width``, every ``every``-th of them, or the one at ``at``.

Groups are counted from octet 0; ``every=1`` doubles all, ``every=4`` the last of each four. The
frame becomes longer. Nothing is lost.
"""

from __future__ import annotations

from framecheck.damage._mechanism import Mechanism, nothing, words


def apply(sent: bytes, width: int, every: int | None = None, at: int | None = None) -> bytes:
    """What arrives; ``at``: octet offset of the one group that comes twice."""
    if at is not None:
        return sent[: at + width] + sent[at : at + width] + sent[at + width :]
    every = every or 1
    return b"".join(
        w * 2 if g % every == every - 1 else w for g, w in enumerate(words(sent, width))
    )


def undo(received: bytes, width: int, every: int | None = None, at: int | None = None) -> bytes:
    """What was sent."""
    if at is not None:
        return received[: at + width] + received[at + 2 * width :]
    every = every or 1
    block = (every + 1) * width
    kept = []
    for piece in words(received, block):
        # A last group that is a part comes twice as a part.
        tail = piece[(every - 1) * width :]
        twice = len(tail) // 2 if len(piece) < block else width
        kept.append(piece[: (every - 1) * width] + tail[:twice])
    return b"".join(kept)


REPEAT = Mechanism("repeat", apply, undo, nothing)
