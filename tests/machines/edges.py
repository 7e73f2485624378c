"""How exactly the edge between written octets and the fill is told, alphabets being disjoint.

``python -m tests.machines.edges --trials 10000``: frames whose contents are of even parity in a
buffer of odd parity, of which a tail, a head, a hole or some of them were never written. Nothing
says what was sent (``alone``), or all of it is known (``sent``). ``--noise`` changes that share of
the written octets on the way.
"""

from __future__ import annotations

import argparse
import random
from collections.abc import Iterator
from typing import NamedTuple

from framecheck.core.span import Range
from framecheck.damage import fill
from framecheck.evidence import claim
from tests.machines.traffic import probe

ODD = fill("odd-parity")
LONGEST_TAIL = 31
PLACES = ("tail", "head", "hole", "both ends")
_HEADER = 14


class Scene(NamedTuple):
    """One frame as sent, as received, and where it was never written."""

    sent: bytes
    received: bytes
    unwritten: tuple[Range, ...]


def scene(place: str, random_: random.Random, noise: float = 0.0) -> Scene:
    """A frame of any length of which up to 31 octets at one place were never written."""
    size = random_.randrange(60, 1515)
    sent = probe(size, random_)
    count = random_.randint(1, LONGEST_TAIL)
    start = random_.randint(_HEADER + 1, size - count - 1)
    ranges: dict[str, tuple[Range, ...]] = {
        "tail": ((size - count, size),),
        "head": ((0, count),),
        "hole": ((start, start + count),),
        "both ends": ((0, count), (size - random_.randint(1, min(LONGEST_TAIL, 28)), size)),
    }
    received = bytearray(
        o ^ random_.randrange(1, 256) if noise and random_.random() < noise else o for o in sent
    )
    for a, b in ranges[place]:
        received[a:b] = ODD.octets(a, b)
    return Scene(sent, bytes(received), ranges[place])


def outcome(given: Scene, *, told: bool) -> str:
    """What is claimed: ``exact``, ``withheld`` (some of it, or all) or ``wrong``.

    ``told``: what was sent is known.
    """
    truth = tuple(given.sent) if told else ()
    said = claim(given.received, ODD, 0, truth=truth).sure
    if said == given.unwritten:
        return "exact"
    return "withheld" if set(said) < set(given.unwritten) else "wrong"


def lines(trials: int, noise: float) -> Iterator[str]:
    """The table: how many are exact and wrong, and the most octets of which some are withheld."""
    yield f"{'place':12}{'known':>8}{'frames':>8}{'exact':>10}{'wrong':>7}{'withheld up to':>16}"
    for place in PLACES:
        scenes = [scene(place, random.Random(f"{place} {n}"), noise) for n in range(trials)]
        for told in (False, True):
            found = [(outcome(g, told=told), min(b - a for a, b in g.unwritten)) for g in scenes]
            right, wrong = (sum(o == word for o, _ in found) for word in ("exact", "wrong"))
            most = max((size for o, size in found if o == "withheld"), default=0)
            known = "sent" if told else "alone"
            share = f"{100 * right / trials:.2f} %"
            yield f"{place:12}{known:>8}{trials:8}{share:>10}{wrong:7}{most:16}"


def main() -> None:
    """The command line."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--trials", type=int, default=1000, help="of each place")
    parser.add_argument("--noise", type=float, default=0.0)
    options = parser.parse_args()
    for line in lines(options.trials, options.noise):
        print(line, flush=True)


if __name__ == "__main__":
    main()
