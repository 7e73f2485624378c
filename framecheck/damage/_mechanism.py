"""What a damage is: octets as they were sent to octets as they were received, and back."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple, TypeVar

from framecheck.core.shelf import load, modules
from framecheck.core.span import Range


class Mechanism(NamedTuple):
    """One way in which a transfer changes octets; keyword parameters are the family's own."""

    family: str
    apply: Callable[..., bytes]
    """(sent, parameters) -> received. Any octets and any parameters in their range are taken."""
    undo: Callable[..., bytes]
    """(received, parameters) -> sent, zero octets or zero bits where nothing is left of it."""
    lost: Callable[..., tuple[Range, ...]]
    """(length of the sent frame, parameters) -> octets of it that ``undo`` cannot give back."""


class Place(NamedTuple):
    """Octets that the transfer never writes: they keep what the buffer held before."""

    family: str
    unwritten: Callable[..., tuple[Range, ...]]
    """(length of the sent frame, parameters) -> its unwritten octets, half-open, ascending."""

    def apply(self, sent: bytes, before: bytes, **parameters: object) -> bytes:
        """What the buffer shows: ``sent`` where it was written, else ``before`` at that offset.

        ``before`` shorter than the frame counts as zeros behind its end.
        """
        received = bytearray(sent)
        behind = before.ljust(len(sent), b"\0")
        for start, stop in self.unwritten(len(sent), **parameters):
            received[start:stop] = behind[start:stop]
        return bytes(received)


_SHELF = "framecheck.damage"


def mechanism(family: str) -> Mechanism:
    """The mechanism of that family; its file is loaded when it is asked for.

    KeyError for a family that has none: its damage is a place, or is not of one frame.
    """
    return _only(family, Mechanism)


def place(family: str) -> Place:
    """The place of that family. KeyError for a family that is none."""
    return _only(family, Place)


T = TypeVar("T")


def _only(family: str, kind: type[T]) -> T:
    module = family.replace("-", "_")
    if module not in modules(_SHELF):
        raise KeyError(family)
    try:
        return load(_SHELF, module, kind)[0]
    except LookupError:
        raise KeyError(family) from None


def nothing(length: int, **parameters: object) -> tuple[Range, ...]:
    """A damage that loses nothing: each octet comes back."""
    return ()


def words(octets: bytes, width: int) -> Iterator[bytes]:
    """Pieces of ``width`` octets from the first on; the last one may be a part."""
    return (octets[i : i + width] for i in range(0, len(octets), width))


def by_words(
    octets: bytes, width: int, part: str, beyond: bytes, change: Callable[[bytes], bytes]
) -> bytes:
    """``change`` done to each aligned word.

    ``part``: what happens to a part word at the end. ``keep``: it stays as it is. ``word``: the
    transfer moves whole words, so it is filled up with ``beyond`` (else zeros), changed, and cut
    to the octets that were asked for.
    """
    rest = len(octets) % width
    whole = len(octets) - rest
    done = b"".join(change(w) for w in words(octets[:whole], width))
    end = octets[whole:]
    if rest and part == "word":
        end = change((end + beyond[: width - rest]).ljust(width, b"\0"))[:rest]
    return done + end
