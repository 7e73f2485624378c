"""One data line stuck: a bit that never changes in its lane, and sums that are off by as much.

Which octets of the lane were turned nothing tells, but how many: every failing sum is off by a
multiple of the bit's weight. So the damage is named, and no octets are claimed.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from math import log2
from typing import NamedTuple

from framecheck.core.frame import Doubt
from framecheck.evidence._quick import Quick, Sum, look

_WIDTHS = (1, 2, 4)
_MODULUS = 0xFFFF
_ENOUGH = 14.0
"""Bits, the tries taken off, that name a line."""
_LEAST_LANE = 8.0
"""Bits of them that the lane itself must give: a bit that never changes."""
_USUAL = {0: 0.8, 1: 0.45}
"""How often a bit has a value in frames at large, by the value (measured on recorded traffic)."""
_LOCATED = 40
"""Octets in which constants and lengths stand, the length of UDP the last."""


class _Line(NamedTuple):
    width: int
    lane: int
    bit: int
    value: int

    @property
    def says(self) -> str:
        which = {1: "every octet", 2: "every second octet", 4: "every fourth octet"}[self.width]
        place = "" if self.width == 1 else f", from 0x{self.lane:x} on,"
        return f"bit {self.bit} of {which}{place} stuck at {self.value}"


def stuck(octets: bytes) -> tuple[Doubt, ...]:
    """The data line that a stuck bit would explain, when one stands out; nothing else."""
    found: list[tuple[float, _Line]] = []
    for line in _constant(octets):
        lane = _lane_bits(octets, line)
        if lane < _LEAST_LANE:
            continue
        sums = max((_sum_bits(draft, line) for draft in _drafts(octets, line)), default=0.0)
        if sums > 0:
            found.append((lane + sums - log2(8 * len(_WIDTHS) * 14), line))
    found.sort(reverse=True)
    if not found or found[0][0] < _ENOUGH:
        return ()
    others = [line.says for bits, line in found[1:3] if found[0][0] - bits < 6]
    return (Doubt("what happened", found[0][1].says, " or ".join(others) or "other damage"),)


def turned_back(octets: bytes, says: str) -> bytes:
    """The frame with the octets turned back that stand where a standard wants constants.

    Args:
        octets: the frame as it came.
        says: what ``stuck`` says of its line.

    Returns:
        The draft with which the sums go best; the octets themselves where none goes.
    """
    for line in _constant(octets):
        if line.says == says:
            rated = [(_sum_bits(draft, line), draft) for draft in _drafts(octets, line)]
            best = max(rated, default=(0.0, octets))
            return best[1] if best[0] > 0 else octets
    return octets


def _constant(octets: bytes) -> Iterator[_Line]:
    """Every line whose bit is the same in its whole lane; of wide ones only those not in narrow."""
    taken: set[tuple[int, int, int, int]] = set()
    for width in _WIDTHS:
        for lane in range(width):
            values = octets[lane::width]
            every, some = 0xFF, 0
            for v in values:
                every &= v
                some |= v
            for bit in range(8):
                for value, holds in ((1, every >> bit & 1), (0, not some >> bit & 1)):
                    narrow = (width // 2, lane % max(1, width // 2), bit, value)
                    if holds:
                        taken.add((width, lane, bit, value))
                        if narrow not in taken:
                            yield _Line(width, lane, bit, value)


def _lane_bits(octets: bytes, line: _Line) -> float:
    """How unlikely it is that the bit never changes in so many octets."""
    size = len(octets[line.lane :: line.width])
    usual = _USUAL[line.value]
    if line.width > 1:
        others = [o >> line.bit & 1 for i, o in enumerate(octets) if i % line.width != line.lane]
        usual = (others.count(line.value) + 1) / (len(others) + 2)
    return min(48.0, -size * log2(usual))


def _drafts(octets: bytes, line: _Line) -> Iterator[bytes]:
    """The frame with those octets of the lane turned back that stand where constants do."""
    flip = 1 << line.bit
    rows: list[tuple[int, tuple[int, ...]]] = [(12, (0x08,)), (13, (0x00,)), (14, (0x45,))]
    rows += [(16, ()), (17, ()), (23, (1, 2, 6, 17)), (38, ()), (39, ())]
    changed = bytearray(octets[:_LOCATED])
    free = []
    for at, wanted in rows:
        if at >= len(changed):
            return
        turned = changed[at] ^ flip
        if at % line.width != line.lane:
            continue
        if not wanted:
            free.append(at)
        elif changed[at] not in wanted and turned in wanted:
            changed[at] = turned
    for turns in product((0, flip), repeat=len(free)):
        draft = bytearray(changed)
        for at, turn in zip(free, turns, strict=True):
            draft[at] ^= turn
        yield bytes(draft) + octets[_LOCATED:]


def _sum_bits(draft: bytes, line: _Line) -> float:
    """How well the sums go with so many turned bits; 0 when one does not, or none fails."""
    seen = look(draft)
    if seen is None or not seen.sound or not seen.fits(len(draft)):
        return 0.0
    offs = [(total, total.off(draft)) for total in seen.sums]
    if not any(off for _, off in offs):
        return 0.0
    bits = 0.0
    for total, off in offs:
        high, low = _places(total, line, seen)
        turned = off if line.value else -off % _MODULUS
        if not _reached(turned, high, low, line.bit):
            return 0.0
        bits += max(0.0, 16 - log2((high + 1) * (low + 1)))
    return bits


def _places(total: Sum, line: _Line, seen: Quick) -> tuple[int, int]:
    """Octets of the lane in a sum, by what they count: 256 or 1."""
    inside = [
        total.weight(i)
        for start, stop in total.parts
        for i in range(start, min(stop, seen.end))
        if i % line.width == line.lane
    ]
    return inside.count(256), inside.count(1)


def _reached(off: int, high: int, low: int, bit: int) -> bool:
    """Whether some turned bits in so many high and low octets make this difference."""
    for k in range(high + 1):
        rest = (off - (k << bit + 8)) % _MODULUS
        if not rest & (1 << bit) - 1 and rest >> bit <= low:
            return True
    return False
