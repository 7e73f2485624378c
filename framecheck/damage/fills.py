"""Fills: what a driver wrote into the buffer before the transfer, by name or by its octets."""

from __future__ import annotations

from typing import NamedTuple

from framecheck.core.problem import Problem

_ODD = bytes(n for n in range(256) if bin(n).count("1") % 2)
_NAMED = {
    "letters": bytes(range(0x41, 0x5B)),
    "counting": bytes(range(256)),
    "zero": b"\0",
    "odd-parity": _ODD,
}
LONGEST = 65536
"""Octets of a fill that is given as a file: a buffer is not longer."""


class Fill(NamedTuple):
    """A pattern that repeats from the buffer's first octet."""

    name: str
    pattern: bytes

    def octets(self, start: int, stop: int) -> bytes:
        """What the buffer held at these offsets before the transfer."""
        size = len(self.pattern)
        first = start % size
        count = stop - start
        return (self.pattern * ((first + count) // size + 1))[first : first + count]

    @property
    def constant(self) -> int | None:
        """The one octet that it repeats, or None."""
        return self.pattern[0] if len(set(self.pattern)) == 1 else None


def fill(pattern: str, files: bool = True) -> Fill:
    """The fill that ``pattern`` names: ``letters``, ``counting``, ``zero``, ``odd-parity``,
    ``constant:a5``, hex digits, or the path of a file whose octets are repeated.

    ``files``: whether a path may be given. Raises Problem with one clear line for anything else.
    """
    if pattern in _NAMED:
        return Fill(pattern, _NAMED[pattern])
    digits = pattern.removeprefix("constant:")
    one = digits != pattern
    try:
        octets = bytes.fromhex(digits)
    except ValueError:
        octets = b""
    if octets and (not one or len(octets) == 1):
        return Fill(pattern, octets)
    if not one and files:
        try:
            with open(pattern, "rb") as file:
                octets = file.read(LONGEST)
        except (OSError, ValueError):
            octets = b""
        if octets:
            return Fill(pattern, octets)
    names = ", ".join((*_NAMED, "constant:a5", "hex digits", "a file"))
    raise Problem(f"--fill {pattern!r}: not a fill; give one of: {names}")
