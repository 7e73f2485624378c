"""How often a received frame finds the frame that was sent, when both sides hold others too.

``python -m tests.machines.pairs --trials 20``: recorded traffic in which frames are lost, doubled,
swapped with a neighbour and foreign on either side, and a share of each frame's octets is wrong.
"""

from __future__ import annotations

import argparse
import random
import time
from collections import Counter
from typing import NamedTuple

from framecheck.evidence import Pairing
from tests.machines.traffic import padded, recorded


class Scene(NamedTuple):
    """What was sent, what came, and which sent frame each is (None: of another traffic)."""

    sent: list[bytes]
    came: list[tuple[bytes, int | None]]


def scene(random_: random.Random, share: float, count: int = 60) -> Scene:
    """A log of about ``count`` frames."""
    every = recorded()
    start = random_.randrange(len(every) - count)
    sent = list(every[start : start + count])
    foreign = [f for f in every[:start] + every[start + count :] if f not in set(sent)]
    came: list[tuple[bytes, int | None]] = []
    for number, octets in enumerate(sent):
        chance = random_.random()
        if chance < 0.1:
            continue  # lost
        came.append((_spoilt(octets, share, random_), number))
        if chance > 0.95:
            came.append(came[-1])  # doubled
        if chance > 0.9 and len(came) > 1:
            came[-2:] = came[:-3:-1]  # overtaken
        if 0.1 < chance < 0.15:
            came.append((random_.choice(foreign), None))
    return Scene(sent, came)


def _spoilt(octets: bytes, share: float, random_: random.Random) -> bytes:
    wrong = set(random_.sample(range(len(octets)), int(share * len(octets))))
    return bytes(o ^ random_.randrange(1, 256) if i in wrong else o for i, o in enumerate(octets))


def counted(given: Scene) -> Counter[str]:
    """Received frames by what became of them; an equal frame is as good as the very one."""
    pairing = Pairing(iter(given.sent))
    found: Counter[str] = Counter()
    for octets, number in given.came:
        pair = pairing.of(octets)
        if number is None:
            found["foreign, none" if pair is None else "foreign, paired"] += 1
        elif pair is None:
            found["none"] += 1
        else:
            found["right" if padded(pair) == given.sent[number] else "wrong"] += 1
    return found


def main() -> None:
    """The command line."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--trials", type=int, default=10)
    options = parser.parse_args()
    words = ("right", "wrong", "none", "foreign, none", "foreign, paired")
    print(f"{'wrong octets':14}" + "".join(f"{w:>17}" for w in words) + f"{'ms a frame':>12}")
    for share in (0.0, 0.02, 0.1, 0.3, 0.5, 0.6):
        start = time.perf_counter()
        found: Counter[str] = Counter()
        for number in range(options.trials):
            found += counted(scene(random.Random(number), share))
        spent = (time.perf_counter() - start) * 1000 / sum(found.values())
        print(f"{share:<14}" + "".join(f"{found[w]:17}" for w in words) + f"{spent:12.2f}")


if __name__ == "__main__":
    main()
