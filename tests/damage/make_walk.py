"""Search the walk of the probes again: ``python -m tests.damage.make_walk`` prints it in hex.

Depth first with random steps back; of the octets that may come next, the one that forbids the
fewest further pairs goes first. Takes some ten seconds.
"""

from __future__ import annotations

import random
from itertools import product

from framecheck.damage.probes._walk import FIRST, KEYS, STOP, choices

SEED = 5
WORDS = (2, 4, 8)
EVEN = [n for n in range(256) if n.bit_count() % 2 == 0 and n not in KEYS]
NIBBLES = [(n & 15) << 4 | n >> 4 for n in range(256)]
REVERSED = [int(f"{n:08b}"[::-1], 2) for n in range(256)]

Pair = tuple[int, int]


def borders(at: int) -> list[tuple[int, int, int]]:
    """Offsets that become neighbours across words, the later being ``at``, and by which change.

    Words of 2, 4, 8 octets reversed are changes 0 to 2, halves of words of 4 exchanged are 3.
    """
    found = [(at - 2 * w + 1, at, k) for k, w in enumerate(WORDS) if (at - 2 * w + 1) % w == 0]
    found += [(at, at - 3, 3)] * (at % 4 == 3) + [(at - 5, at, 3)] * (at % 4 == 2)
    return [b for b in found if min(b[0], b[1]) >= FIRST]


class Search:
    """What stands so far, and what it forbids."""

    def __init__(self) -> None:
        self.placed: list[tuple[int, ...]] = []
        self.forbidden = dict.fromkeys(product(range(256), repeat=2), 0)
        self.used = dict(self.forbidden)
        self.changed = [dict(self.forbidden) for _ in range(4)]

    def tried(self, octets: tuple[int, ...]) -> tuple[list[list[Pair]], list, list] | None:
        """What the next offset's octets (one for each choice) bring along, or None."""
        at = FIRST + len(self.placed)
        before = self.placed[-1] if self.placed else ()
        images = []
        for a, b in product(before, octets):
            each = [(a, b), (b, a), (NIBBLES[a], NIBBLES[b]), (REVERSED[a], REVERSED[b])]
            if len(set(each)) < 4 or self.forbidden[a, b]:
                return None
            images.append(each)
        own = {each[0] for each in images}
        if any(pair in own for each in images for pair in each[1:]):
            return None
        turned = [(k, e[1]) for k, w in enumerate(WORDS) if before and at % w for e in images]
        if any(self.changed[k][pair] for k, pair in turned):
            return None
        across = []
        for first, second, k in borders(at):
            ends = [octets if i == at else self.placed[i - FIRST] for i in (first, second)]
            across += [(k, pair) for pair in product(*ends)]
        met = any(self.used[p] or p in own or self.changed[k][p] for k, p in across)
        if met or len({*across, *turned}) < len(across) + len(turned):
            return None
        return images, across, turned

    def put(self, found: tuple[list[list[Pair]], list, list], sign: int) -> None:
        """Count what octets bring along, or take it back."""
        images, across, turned = found
        for each in images:
            self.used[each[0]] += sign
            for pair in each:
                self.forbidden[pair] += sign
        for k, pair in across:
            self.forbidden[pair] += sign
            self.changed[k][pair] += sign
        for k, pair in turned:
            self.changed[k][pair] += sign


def options(at: int) -> list[tuple[int, ...]]:
    """Octets that may stand at an offset, each with its choices."""
    return list(dict.fromkeys(tuple(sorted(n ^ c for c in choices(at))) for n in EVEN))


def walk(seed: int = SEED) -> bytes:
    """The walk from offset 14 on: of each offset's choices the smallest octet."""
    rng, search = random.Random(seed), Search()
    stack: list[tuple[list, tuple]] = []

    def ranked() -> list:
        found = []
        for octets in options(FIRST + len(search.placed)):
            brings = search.tried(octets)
            if brings is not None:
                pairs = [p for each in brings[0] for p in each] + [p for _, p in brings[1]]
                fresh = sum(not search.forbidden[p] for p in pairs)
                found.append((2 * rng.random() - fresh, octets, brings))
        return sorted(found, key=lambda f: f[0])

    left = ranked()
    while len(search.placed) < STOP - FIRST:
        if left:
            _, octets, brings = left.pop()
            search.put(brings, 1)
            search.placed.append(octets)
            stack.append((left, brings))
            left = ranked()
            continue
        for _ in range(min(rng.choice((1, 1, 2, 3, 8, 20)), len(stack))):
            left, brings = stack.pop()
            search.put(brings, -1)
            search.placed.pop()
    return bytes(min(octets) for octets in search.placed)


if __name__ == "__main__":
    print(walk().hex())
