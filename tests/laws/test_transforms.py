"""What a law foretells is what the family's damage does: two roads to the same octets."""

from __future__ import annotations

import random
from typing import Any

import numpy as np
import pytest

from framecheck import damage
from framecheck.laws._model import WRITTEN, applied, stream
from framecheck.laws.search import mechanisms

SENT = random.Random(9).randbytes(95)

CHANGED: list[tuple[str, dict[str, Any]]] = [
    *(("swap", {"width": w, "part": part}) for w in (2, 4, 8) for part in ("keep", "word")),
    *(("halfword", {"part": part}) for part in ("keep", "word")),
    ("stuck", {"width": 4, "lane": 3, "bit": 6, "value": 1}),
    ("stuck", {"width": 1, "lane": 0, "bit": 2, "value": 0}),
    ("crossed", {"a": 1, "b": 6}),
    ("nibble", {}),
    ("reversal", {}),
    *(("alias", {"line": line, "mode": m}) for line in (0, 5) for m in ("read", "write", "both")),
    ("insert", {"k": 3, "at": 12}),
    ("delete", {"k": 3, "at": 12}),
    ("append", {"k": 2}),
    ("fcs", {"k": 4}),
    ("cut", {"k": 4}),
    ("skip", {"n": 9, "r": 8}),
    ("repeat", {"width": 2, "every": 8}),
    ("repeat", {"width": 4, "at": 8}),
    *(
        ("slip", {"at": 6, "bits": 3, "toward": toward, "order": order})
        for toward in ("later", "earlier")
        for order in ("msb", "lsb")
    ),
    ("limit", {"m": 64, "mode": "absent"}),
    ("round-up", {"n": 16, "lead": 0, "trail": 0}),
]
PLACES: list[tuple[str, dict[str, Any]]] = [
    ("granule", {"n": 24, "lead": 2, "trail": 4}),
    ("tail", {"k": 3}),
    ("head", {"k": 3}),
    ("piece", {"m": 64, "most": 40}),
    ("piece", {"m": 64, "most": 8}),
    ("hole", {"start": 10, "stop": 20}),
    ("lane", {"n": 4, "r": [0, 3]}),
]


def foretold(family: str, parameters: dict[str, Any]) -> tuple[bytes, np.ndarray[Any, Any]]:
    """The octets of a law's frame and where they are known."""
    own = [m for m in mechanisms() if m.family == family]
    mechanism = next((m for m in own if m.apply and "mode" in parameters), own[0])
    made = applied(mechanism, parameters, stream(np.frombuffer(SENT, np.uint8)))
    assert made is not None
    return made.values.tobytes(), made.states == WRITTEN


@pytest.mark.parametrize(("family", "parameters"), CHANGED, ids=str)
def test_a_law_foretells_what_the_damage_does(family: str, parameters: dict[str, Any]) -> None:
    octets, known = foretold(family, parameters)
    done = damage.mechanism(family).apply(SENT, **parameters)

    assert len(done) == len(octets)
    assert known.sum() > len(SENT) // 3
    assert all(done[i] == octets[i] for i in np.flatnonzero(known))


@pytest.mark.parametrize(("family", "parameters"), PLACES, ids=str)
def test_a_law_leaves_unwritten_what_the_damage_leaves(
    family: str, parameters: dict[str, Any]
) -> None:
    _, known = foretold(family, parameters)
    places = damage.place(family).unwritten(len(SENT), **parameters)

    assert np.flatnonzero(~known).tolist() == [i for a, b in places for i in range(a, b)]
