"""Sentences and advice that several families share, and the sketch of rounding in C."""

from __future__ import annotations

from framecheck.laws._model import Advice

LEAK = (
    "octets that the transfer did not write are old memory: clear or refill the buffer before "
    "each transfer, or they leak what was there"
)
BEHIND = (
    "the rounded-up read may run past the buffer: give the buffer a whole multiple of that size"
)


def octets(count: int) -> str:
    """``1 octet``, ``2 octets``."""
    return f"{count} octet" if count == 1 else f"{count} octets"


def rounding(n: int, lead: int = 0) -> str:
    """How to round a length up in C, for any n, with ``lead`` octets before it counted in."""
    more, back = lead + n - 1, f" - {lead}u" if lead else ""
    if n & (n - 1) == 0:
        up = f"(length + {more}u) & ~{n - 1}u"
        return f"padded = ({up}){back};" if lead else f"padded = {up};"
    return f"padded = (length + {more}u) / {n}u * {n}u{back};"


def of_frames(side: str, count: int, what: str) -> str:
    """``the first octet of every frame is`` or ``the last 3 octets of every frame are``, what."""
    which = f"the {side} octet" if count == 1 else f"the {side} {count} octets"
    return f"{which} of every frame {'is' if count == 1 else 'are'} {what}"


def in_software(what: str, code: str = "") -> Advice:
    """A damage that the driver can undo after the transfer."""
    return Advice(
        f"{what} after the transfer, or set the hardware so that it is not needed; it costs one "
        "pass over the frame and no octet",
        "a board where the hardware is set right later will be broken by the same loop: test a "
        "known octet at start-up",
        code=code,
    )
