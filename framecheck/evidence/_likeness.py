"""How much the octets of a received frame speak for each of some sent frames, in bits.

Odds against "it is other traffic, in whose columns the same values occur as often as here". An
octet of a damaged copy is right with probability 1 - d; d is small (a few wrong octets) or a half
(half of the frame is wrong), whichever says more.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import compress
from math import log2
from typing import NamedTuple

SHORTEST = 60
"""Octets to which a wire pads (IEEE 802.3, from memory)."""
_DAMAGED = (0.02, 0.5)
_NEEDED = 8.0
"""Bits that a pair needs on top of its turn."""
_FEW = 8
"""Sent frames from which on their columns are believed more than a guess."""
_GUESS = 1 / 16
"""Chance that two frames of one network agree at an octet of which nothing is known."""
_MOST = 255
"""Frames that are counted together: their flags add up in one octet a column."""
_PIECE = 4
_SAMPLED = 256
"""Octets from which on only pieces that begin with certain octets are looked at."""
_SHARE = 0.2
"""Share of the pieces of the shorter frame that a pair must hold together."""
_FEWEST = 12.0
"""Bits of pieces that few others hold, before they make a pair."""

_EQUAL = bytes((1, *([0] * 255)))


class Likeness(NamedTuple):
    """A frame that another is like."""

    bits: float
    share: float
    """Share of equal octets, of those that were written."""
    at: int | None
    """Number of the sent frame."""


def best_in_place(
    received: bytes,
    frames: Mapping[int, bytes],
    turn: Mapping[int, float],
    unwritten: bytes | None,
) -> Likeness | None:
    """The frame that these octets are a damaged copy of, octet for octet.

    ``turn``: bits for each frame's place in the order of all. ``unwritten``: what the buffer
    held before: octets that equal it may be no octets of a frame, and speak against none.
    """
    near = sorted(frames, key=lambda i: (-turn[i], i))[:_MOST]
    flags = {i: _agree(received, frames[i]) for i in near}
    total = sum(int.from_bytes(f, "big") for f in flags.values())
    counts = total.to_bytes(len(received), "big")
    silent = _silent(received, unwritten)
    alike = max(near, key=lambda i: sum(flags[i]))
    held = _held([frames[i] for i in near], frames[alike], len(received))
    best, most = None, _NEEDED
    lengths = Counter(max(len(frames[i]), SHORTEST) for i in near)
    of_octets = {i: float("-inf") for i in near}
    for damaged in _DAMAGED:
        ours, theirs, fresh = _weights(len(near), damaged)
        base = [
            0.0 if s else theirs[c] if c else fresh[h]
            for c, h, s in zip(counts, held, silent, strict=True)
        ]
        gain = [ours[c] - b for c, b in zip(counts, base, strict=True)]
        whole = sum(base)
        for i, f in flags.items():
            of_octets[i] = max(of_octets[i], whole + sum(compress(gain, f)))
    for i, bits in of_octets.items():
        score = bits + turn[i] + _length(received, frames[i], lengths, len(near))
        if score > most:
            best, most = i, score
    return None if best is None else Likeness(most, _part(flags[best], silent), best)


def share(received: bytes, sent: bytes, unwritten: bytes | None) -> float:
    """Share of the received octets that are equal in their place, unwritten ones left out."""
    return _part(_agree(received, sent), _silent(received, unwritten))


def _silent(received: bytes, unwritten: bytes | None) -> bytes:
    return bytes(len(received)) if unwritten is None else _agree(received, unwritten)


def _part(equal: bytes, silent: bytes) -> float:
    right = int.from_bytes(equal, "big") & ~int.from_bytes(silent, "big")
    return right.bit_count() / max(1, silent.count(0))


def _agree(received: bytes, sent: bytes) -> bytes:
    """One octet a column: 1 where both hold the same; padding counts as zeros."""
    size = len(received)
    sent = sent.ljust(SHORTEST, b"\0")[:size]
    both = int.from_bytes(received[: len(sent)], "big") ^ int.from_bytes(sent, "big")
    return both.to_bytes(len(sent), "big").translate(_EQUAL).ljust(size, b"\0")


def _held(frames: Sequence[bytes], other: bytes, size: int) -> bytes:
    """How many frames hold in each column what the likest frame holds there."""
    padded = other.ljust(SHORTEST, b"\0")[:size]
    total = sum(int.from_bytes(_agree(padded, f).ljust(size, b"\0"), "big") for f in frames)
    return total.to_bytes(size, "big")


def _weights(frames: int, damaged: float) -> tuple[list[float], list[float], list[float]]:
    """Bits of an octet that the candidate holds too, and of one that only others hold, by how
    many hold it; and of one that none holds, by how many agree on another."""
    ours, theirs, fresh = [], [], []
    for count in range(frames + 1):
        others, seen = max(0, count - 1), frames - 1
        trust = seen / (seen + _FEW)
        chance = trust * (others / seen if seen else 0.0) + (1 - trust) * _GUESS
        ours.append(log2((1 - damaged) / chance))
        trust = frames / (frames + _FEW)
        chance = max(trust * count / frames + (1 - trust) / 256, 1 / 255)
        theirs.append(log2(damaged / 255 / chance))
        fresh.append(log2(damaged / (1 - trust * count / frames)))
    return ours, theirs, fresh


def _length(received: bytes, sent: bytes, lengths: Counter[int], frames: int) -> float:
    long = max(len(sent), SHORTEST)
    if long == len(received):
        return log2(0.9 * (frames + 1) / (lengths[long] + 0.1))
    return -4.0


def best_pieces(
    received: bytes, frames: Mapping[int, bytes], turn: Mapping[int, float]
) -> Likeness | None:
    """The frame that holds the same pieces of four octets, wherever they stand.

    Its ``share`` is of the pieces of the shorter frame.
    """
    ours = _pieces(received)
    theirs = {i: ours & _pieces(octets) for i, octets in frames.items()}
    held = Counter(piece for pieces in theirs.values() for piece in pieces)
    best, most = None, _FEWEST
    for i, pieces in theirs.items():
        part = len(pieces) / max(1, min(len(ours), len(_pieces(frames[i]))))
        if part < _SHARE:
            continue
        bits = sum(log2((len(frames) + 1) / held[p]) for p in pieces) + turn[i]
        if bits > most:
            best, most = Likeness(bits, part, i), bits
    return best


@lru_cache(maxsize=1024)
def _pieces(octets: bytes) -> frozenset[bytes]:
    """Its pieces; of a long frame those whose sum says so, which are the same when it moved."""
    every: Sequence[int] = range(len(octets) - _PIECE + 1)
    pieces = {octets[i : i + _PIECE] for i in every} - {bytes(_PIECE)}
    if len(octets) > _SAMPLED:
        pieces = {p for p in pieces if (p[0] + p[3]) % 4 == 0}
    return frozenset(pieces)
