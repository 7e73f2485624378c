"""One trial: a machine, its traffic, what was printed; and how an answer is held against it."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any, NamedTuple

from tests.machines.board import Law, Machine, Print, Setting, run
from tests.machines.cells import DEVICE
from tests.machines.kinds import KINDS, Chain, Sometimes, built
from tests.machines.kinds.engines import WordFifo
from tests.machines.kinds.sometimes import drawn, settled
from tests.machines.kinds.strangers import KINDS as STRANGERS
from tests.machines.traffic import LONGEST, SHORTEST, TRAFFIC, probe

PLACES = ("granule", "tail", "head", "hole", "lane", "limit")
TRANSFORMS = ("swap", "halfword", "insert", "crossed", "nibble", "reversal", "stuck", "fcs")
STRANGER_NAMES = tuple(kind.__name__ for kind in STRANGERS)
FAMILIES = (*KINDS, "chain", "conditional")
QUIET = Setting()
_FEW = 6
EVERYWHERE = (*range(SHORTEST, 200), *range(200, LONGEST, 37), 255, 256, 257, 511, 512, 513, 1514)
"""Lengths at which two laws that are called equal must do the same."""


class Trial(NamedTuple):
    """What a bench would have in hand, and the truth."""

    machine: Machine
    sent: list[bytes]
    setting: Setting
    printed: list[Print | None]

    @property
    def law(self) -> Law:
        """The true law."""
        return self.machine.law()

    @property
    def visible(self) -> bool:
        """Whether the machine did anything at all to this traffic, in refilled buffers and in the
        trial's own: an octet that all frames share is never seen to be old. Where no frame came,
        there is no log to look at."""
        if not any(self.printed):
            return False
        for setting in (QUIET, self.setting._replace(noise=0.0)):
            clean = run(self.machine, self.sent, setting, random.Random(1))
            pairs = zip(clean, self.sent, strict=True)
            if not any(dump is None or dump.octets != octets for dump, octets in pairs):
                return False
        return True


def trial(family: str, number: int, traffic: str = "sweep", noise: float = 0.01) -> Trial:
    """The trial of that number; the same number gives the same trial. Families: those of the
    sheet, ``chain``, or a stranger's class name."""
    random_ = random.Random(f"{family} {traffic} {number}")
    machine = _machine(family, random_)
    if random_.random() < 0.7:
        setting = Setting(random_.choice(("odd-parity", "odd-parity", "letters", "constant:a5")))
    else:
        setting = Setting("odd-parity", False, random_.choice((1, 1, 2, 4)))
    setting = setting._replace(noise=noise)
    sent = _carried(traffic, random_)
    return Trial(machine, sent, setting, run(machine, sent, setting, random_))


def _carried(traffic: str, random_: random.Random) -> list[bytes]:
    """A kind of traffic by its name, or probes of the lengths that are given."""
    if traffic in TRAFFIC:
        return TRAFFIC[traffic](random_)
    return [probe(int(size), random_) for size in traffic.split()]


def _machine(family: str, random_: random.Random) -> Machine:
    if family in STRANGER_NAMES:
        return STRANGERS[STRANGER_NAMES.index(family)]()
    if family == "granule, aligned":
        return WordFifo(random_.randrange(2, 65))
    if family == "granule, any phase":
        n = random_.randrange(2, 65)
        return WordFifo(n, random_.randrange(n))
    if family == "conditional":
        inner = KINDS[random_.choice((*PLACES, *TRANSFORMS))].draw(random_)
        return Sometimes(inner, drawn(random_))
    if family != "chain":
        return KINDS[family].draw(random_)
    parts = [KINDS[random_.choice(names)].draw(random_) for names in (PLACES, TRANSFORMS)]
    random_.shuffle(parts)
    return Chain(*parts)


def law_of(answer: Mapping[str, Any]) -> Law:
    """A law of the sheet's JSON as one of ours."""
    then = answer.get("then")
    parameters = {
        k: tuple(v) if isinstance(v, list) else v for k, v in answer["parameters"].items()
    }
    return Law(answer["family"], parameters, law_of(then) if then else None, answer.get("when"))


def right(answer: Mapping[str, Any], truth: Law) -> bool:
    """Whether a law of the sheet is the true one, or does the same at every length."""
    said = law_of(answer)
    return _equal(said, truth) or same_prints(said, truth, _everywhere(), QUIET)


def same_on_evidence(answer: Mapping[str, Any], given: Trial) -> bool:
    """Whether a law of the sheet foretells what the true one does to this traffic."""
    setting = given.setting._replace(noise=0.0)
    return same_prints(law_of(answer), given.law, given.sent, setting)


def parts(
    answers: Sequence[Mapping[str, Any]],
    length: int,
    setting: Setting,
    frames: int = 1,
    addresses: Sequence[str] | None = None,
) -> bool:
    """Whether so many probes of this length, or two, tell at least two of the laws apart.

    ``addresses``: destination and source, if the probe is to have some of its own.
    """
    head = b"".join(bytes.fromhex(a.replace(":", "")) for a in addresses or ())
    one = probe(length, random.Random(length))
    sent = [head + one[len(head) :]] * max(2, frames)
    shown = [_shown(law_of(answer), sent, setting._replace(noise=0.0)) for answer in answers]
    return any(a != shown[0] for a in shown[1:])


def _equal(said: Law, truth: Law) -> bool:
    if (said.family, bool(said.then)) != (truth.family, bool(truth.then)):
        return False
    if not settled(said.when, truth.when):
        return False
    if said.then and truth.then and not _equal(said.then, truth.then):
        return False
    return _settled(said.parameters, truth.parameters)


def _settled(said: Mapping[str, Any], truth: Mapping[str, Any]) -> bool:
    """Equal parameters; a limit of lost lengths is known only as an interval."""
    above = said.get("above")
    if isinstance(above, tuple) and len(above) == 2 and truth.get("above") is not None:
        return bool(above[0] <= truth["above"] < above[1])
    given = {k: list(v) if isinstance(v, tuple) else v for k, v in said.items() if v is not None}
    return given == dict(truth)


def same_prints(a: Law, b: Law, sent: Sequence[bytes], setting: Setting) -> bool:
    """Whether two laws' machines print the same, octet for octet, written or not."""
    if "stale-lines" in (a.family, b.family) or "unrelated" in (a.family, b.family):
        return False  # what happens at random foretells nothing
    for some in (sent[:_FEW], sent):  # most that differ do so at once
        one, other = _printed(a, some, setting), _printed(b, some, setting)
        if one is None or other is None or not all(map(_alike, one, other)):
            return False
    return True


def _alike(one: Print | None, other: Print | None) -> bool:
    """Whether two dumps of one frame show the same."""
    if one is None or other is None:
        return one is other
    return one.cells == other.cells or _seen(one) == _seen(other)


def _printed(law: Law, sent: Sequence[bytes], setting: Setting) -> list[Print | None] | None:
    """What the law's machine prints; None: no machine."""
    try:
        return run(built(law), sent, setting, random.Random(1))
    except (KeyError, TypeError, IndexError, ValueError, AttributeError, ZeroDivisionError):
        return None


def _seen(print_: Print) -> list[tuple[int, int | None]]:
    """What a dump shows; octets of the device's own are all alike."""
    return [(c.frame, c.value if c.frame != DEVICE else None) for c in print_.cells]


def _shown(law: Law, sent: Sequence[bytes], setting: Setting) -> Any:
    """What the law's machine shows of each frame; None: no machine."""
    printed = _printed(law, sent, setting)
    return printed and [print_ and _seen(print_) for print_ in printed]


@cache
def _everywhere() -> list[bytes]:
    # Not in their order: most laws that differ do so among the first few lengths.
    sizes = random.Random(1).sample(EVERYWHERE, len(EVERYWHERE))
    return [probe(size, random.Random(size)) for size in sizes]
